//! The closed form in the thickness of one film against the general recursion, and the walk against the closed form.

use crate::random::{any_stack, seeded};
use huewright_tests::chance::Chance;
use huewright_tests::lights::grid;
use huewright_tests::stacks::Stack;
use optics::stack::POLARISATIONS;
use optics::sweep::Sweep;
use optics::{Cx, Geometry, View};
use proptest::prelude::*;

const TOLERANCE: f64 = 1e-12;
const WALK_TOLERANCE: f64 = 1e-11;

/// Greatest difference of sweep and recursion over every film of `stack`, 0 and 60 degrees, s and p.
fn difference(stack: &Stack, wavelength_nm: f64, thicknesses_nm: &[f64]) -> f64 {
    let mut worst = 0.0_f64;
    for which in 0..stack.films.len() {
        for angle_deg in [0.0, 60.0] {
            let (ambient, slabs, base) = stack.media(angle_deg);
            for polarisation in POLARISATIONS {
                let sweep = Sweep::new(wavelength_nm, &ambient, &slabs, &base, polarisation, which);
                for thickness_nm in thicknesses_nm {
                    let mut set = stack.clone();
                    set.films[which].1 = *thickness_nm;
                    let general = set.reflectance(wavelength_nm, angle_deg, polarisation);
                    let off = (sweep.reflectance(*thickness_nm) - general).abs();
                    // A NaN must not hide behind max.
                    worst = if off.is_nan() { f64::INFINITY } else { worst.max(off) };
                }
            }
        }
    }
    worst
}

proptest! {
    #![proptest_config(seeded(300))]

    #[test]
    fn any_film_of_any_stack(stack in any_stack(), wavelength_nm in 380.0..780.0, d in 0.0..3000.0) {
        let off = difference(&stack, wavelength_nm, &[0.0, d]);
        prop_assert!(off <= TOLERANCE, "{off:e}");
    }
}

/// The innermost, a middle and the outermost film of 1000.
#[test]
fn a_film_among_a_thousand() {
    let mut chance = Chance::new(77);
    let films = (0..1_000)
        .map(|_| (Cx::of(chance.between(1.2, 4.0), chance.between(0.0, 0.02)), chance.between(0.5, 3.0)))
        .collect();
    let stack = Stack { ambient_n: 1.0, base: Cx::of(2.5, 3.4), films };
    let (ambient, slabs, base) = stack.media(60.0);
    for which in [0, 500, 999] {
        for polarisation in POLARISATIONS {
            let sweep = Sweep::new(550.0, &ambient, &slabs, &base, polarisation, which);
            let mut set = stack.clone();
            set.films[which].1 = 120.0;
            let general = set.energy(550.0, 60.0, polarisation).reflected;
            let ours = sweep.reflectance(120.0);
            assert!((ours - general).abs() <= 1e-10, "film {which}: {ours} {general}");
        }
    }
}

/// Unpolarised light on a grid: `Sample::sweep` against `Sample::reflectance`, and the walk against the sweep.
#[test]
fn spectra_of_a_sample() {
    let wavelength_nm = grid("380-780/20");
    let mut chance = Chance::new(5);
    for _ in 0..12 {
        let films = (0..3)
            .map(|_| (Cx::of(chance.between(1.3, 3.0), chance.between(0.0, 0.5)), chance.between(0.0, 200.0)))
            .collect();
        let stack = Stack { ambient_n: *chance.pick(&[1.0, 1.333]), base: Cx::of(1.5, 3.0), films };
        let mut sample = stack.sample(&wavelength_nm);
        for tilt_deg in [0.0, 60.0] {
            for which in 0..3 {
                let spectrum = sample.sweep(tilt_deg, which).unwrap();
                let mut out = Vec::new();
                for thickness_nm in [0.0, 33.3, 400.0] {
                    let mut set = sample.clone();
                    set.films[which].thickness_nm = thickness_nm;
                    let general = set.reflectance(View { tilt_deg, geometry: Geometry::Included }).unwrap();
                    spectrum.reflectance(thickness_nm, &mut out);
                    assert_eq!(out.len(), general.len());
                    for (a, b) in out.iter().zip(&general) {
                        assert!((a - b).abs() <= TOLERANCE, "{a} {b}");
                    }
                }
                let mut steps = 0;
                let mut at_once = Vec::new();
                spectrum.walk(1.0, 0.7, 1_000, |number, walked| {
                    assert_eq!(number, steps);
                    steps += 1;
                    #[expect(clippy::cast_precision_loss, reason = "a thousand steps")]
                    spectrum.reflectance(1.0 + 0.7 * number as f64, &mut at_once);
                    for (a, b) in walked.iter().zip(&at_once) {
                        assert!((a - b).abs() <= WALK_TOLERANCE, "step {number}: {a} {b}");
                    }
                });
                assert_eq!(steps, 1_000);
            }
        }
        // A film of two layers has no closed form in one thickness.
        let layer = sample.films[0].layers[0].clone();
        sample.films[0].layers.push(layer);
        assert!(sample.sweep(0.0, 0).is_none());
        assert!(sample.sweep(0.0, 1).is_some());
        assert!(sample.sweep(0.0, 7).is_none());
    }
}
