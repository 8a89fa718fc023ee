//! Limits: no film, half films, thick films, very many films, 45 degrees.

use crate::random::{absorbing_index, any_light, any_stack, seeded};
use huewright_tests::chance::Chance;
use huewright_tests::stacks::Stack;
use optics::Cx;
use optics::stack::{POLARISATIONS, Polarisation};
use proptest::prelude::*;

const TOLERANCE: f64 = 1e-12;

proptest! {
    #![proptest_config(seeded(1_000))]

    #[test]
    fn a_film_cut_in_two_is_the_same_film(
        stack in any_stack(),
        (wavelength_nm, angle_deg) in any_light(),
        share in 0.0..1.0,
        pick in any::<prop::sample::Index>(),
    ) {
        prop_assume!(!stack.films.is_empty());
        let mut cut = stack.clone();
        let which = pick.index(cut.films.len());
        let (index, thickness) = cut.films[which];
        cut.films[which].1 = thickness * share;
        cut.films.insert(which + 1, (index, thickness * (1.0 - share)));
        for polarisation in POLARISATIONS {
            let whole = stack.reflectance(wavelength_nm, angle_deg, polarisation);
            prop_assert!((whole - cut.reflectance(wavelength_nm, angle_deg, polarisation)).abs() <= TOLERANCE);
        }
    }

    #[test]
    fn a_film_of_no_thickness_is_no_film(
        stack in any_stack(),
        index in crate::random::any_index(),
        (wavelength_nm, angle_deg) in any_light(),
        pick in any::<prop::sample::Index>(),
    ) {
        let mut with = stack.clone();
        with.films.insert(pick.index(stack.films.len() + 1), (index, 0.0));
        for polarisation in POLARISATIONS {
            let without = stack.reflectance(wavelength_nm, angle_deg, polarisation);
            prop_assert!((without - with.reflectance(wavelength_nm, angle_deg, polarisation)).abs() <= TOLERANCE);
        }
    }

    /// At one interface and 45 degrees Rp is the square of Rs (Abeles), whatever the base absorbs.
    #[test]
    fn at_45_degrees_one_polarisation_is_the_square_of_the_other(base in absorbing_index()) {
        let bare = Stack::bare(base);
        let [s, p] = POLARISATIONS.map(|polarisation| bare.reflectance(550.0, 45.0, polarisation));
        prop_assert!((p - s * s).abs() <= TOLERANCE, "{s} {p}");
    }

    /// Straight on there is no plane of incidence, hence no difference.
    #[test]
    fn straight_on_both_polarisations_agree(stack in any_stack(), wavelength_nm in 380.0..780.0) {
        let [s, p] = POLARISATIONS.map(|polarisation| stack.reflectance(wavelength_nm, 0.0, polarisation));
        prop_assert!((p - s).abs() <= TOLERANCE, "{s} {p}");
    }
}

#[test]
fn a_thick_absorber_is_the_bulk() {
    // 5 and 20 micrometres of a nitride and of a metal, the second where textbook matrices overflow.
    for (index, thickness_nm) in [
        ((0.9, 1.8), 5_000.0),
        ((0.9, 1.8), 20_000.0),
        ((2.0, 3.4), 5_000.0),
        ((2.0, 3.4), 20_000.0),
        ((0.9, 1.8), 1e6),
    ] {
        let index = Cx::of(index.0, index.1);
        let bulk = Stack::bare(index);
        let thick = Stack { films: vec![(index, thickness_nm)], ..Stack::bare(Cx::of(1.5, 0.0)) };
        for angle_deg in [0.0, 60.0, 85.0] {
            for polarisation in POLARISATIONS {
                let [a, b] = [&bulk, &thick].map(|s| s.reflectance(550.0, angle_deg, polarisation));
                assert!((a - b).abs() <= TOLERANCE, "{index:?} {thickness_nm} {angle_deg}: {a} {b}");
                let energy = thick.energy(550.0, angle_deg, polarisation);
                assert!(energy.transmitted.is_finite() && (energy.reflected - a).abs() <= TOLERANCE);
            }
        }
    }
}

/// Up to 1000 films of any kind, thin and thick: finite, between 0 and 1, and equal to the energy balance.
#[test]
fn very_many_films_stay_finite() {
    let mut chance = Chance::new(1_000);
    let kinds: [(&str, [f64; 2], [f64; 2]); 4] = [
        ("clear, dense", [1.2, 4.0], [0.0, 0.0]),
        ("clear, thin as foam", [1.0, 1.05], [0.0, 0.0]),
        ("absorbing", [0.5, 4.0], [0.0, 4.0]),
        ("silvery", [0.05, 0.2], [2.0, 7.0]),
    ];
    let mut broken = Vec::new();
    for count in [100, 300, 512, 1_000] {
        for (kind, n, k) in kinds {
            for thickest_nm in [0.5, 5.0, 100.0] {
                let films = (0..count)
                    .map(|_| {
                        let index = Cx::of(chance.between(n[0], n[1]), chance.between(k[0], k[1]));
                        (index, chance.between(0.0, thickest_nm))
                    })
                    .collect();
                let stack = Stack { ambient_n: 1.0, base: Cx::of(2.5, 3.4), films };
                for polarisation in POLARISATIONS {
                    for angle_deg in [0.0, 60.0] {
                        let ours = stack.reflectance(550.0, angle_deg, polarisation);
                        let balance = stack.energy(550.0, angle_deg, polarisation).reflected;
                        // NaN is not within anything.
                        if !((ours - balance).abs() <= 1e-10 && (0.0..=1.0 + TOLERANCE).contains(&ours)) {
                            broken.push(format!(
                                "{count} {kind}, to {thickest_nm} nm, {angle_deg} degrees: {ours} ({balance})"
                            ));
                        }
                    }
                }
            }
        }
    }
    assert!(broken.is_empty(), "{} of 192 stacks:\n{}", broken.len(), broken.join("\n"));
}

/// k > 0 must take light away: with the other sign of k a film would give light.
#[test]
fn absorption_takes_light_away() {
    let film = |k: f64| Stack { films: vec![(Cx::of(2.0, k), 300.0)], ..Stack::bare(Cx::of(0.05, 4.0)) };
    let mut last = f64::INFINITY;
    for k in [0.0, 0.01, 0.05, 0.2] {
        let energy = film(k).energy(550.0, 0.0, Polarisation::S);
        assert!(energy.reflected < last, "{k}: {}", energy.reflected);
        assert!(k == 0.0 || energy.absorbed[0] > 0.0);
        last = energy.reflected;
    }
}
