//! Colour: round trips, symmetry, whites, and sums that are linear.

use crate::random::seeded;
use colour::{Lab, Xyz, adapt, ciede2000};
use huewright::{Conditions, Engine, Light};
use huewright_tests::lights::viewing;
use proptest::prelude::*;

fn any_lab() -> impl Strategy<Value = Lab> {
    (0.0..100.0, -128.0..128.0, -128.0..128.0).prop_map(|(l, a, b)| Lab { l, a, b })
}

const D65: Xyz = Xyz { x: 95.043, y: 100.0, z: 108.8801 };
const A: Xyz = Xyz { x: 109.849, y: 100.0, z: 35.5825 };

proptest! {
    #![proptest_config(seeded(5_000))]

    #[test]
    fn lab_to_xyz_and_back(lab in any_lab()) {
        let back = lab.to_xyz(D65).to_lab(D65);
        for (a, b) in [(lab.l, back.l), (lab.a, back.a), (lab.b, back.b)] {
            prop_assert!((a - b).abs() <= 1e-10, "{lab:?} {back:?}");
        }
        let round = lab.lch().lab();
        prop_assert!((round.a - lab.a).abs() <= 1e-10 && (round.b - lab.b).abs() <= 1e-10);
    }

    #[test]
    fn a_difference_is_symmetric_and_zero_on_itself(one in any_lab(), two in any_lab()) {
        let (there, back) = (ciede2000(one, two), ciede2000(two, one));
        prop_assert!((there - back).abs() <= 1e-12 * there.max(1.0), "{there} {back}");
        prop_assert!(there.is_finite() && there >= 0.0);
        prop_assert!(ciede2000(one, one) == 0.0);
        prop_assert!(one == two || there > 0.0);
    }

    /// A small step is a small difference: no case of the formula jumps where hues are near one another.
    #[test]
    fn a_small_step_is_a_small_difference(one in any_lab(), turn in 0.0..std::f64::consts::TAU) {
        let (sin, cos) = turn.sin_cos();
        let near = Lab { l: one.l + 1e-6, a: one.a + 1e-6 * cos, b: one.b + 1e-6 * sin };
        let step = ciede2000(one, near);
        // Chroma counts at most 1.5 fold (greys), lightness 1 fold; the rotation adds at most as much again.
        prop_assert!(step <= 5e-6, "{step:e}");
    }

    #[test]
    fn adaptation_carries_white_to_white_and_back(lab in any_lab()) {
        let colour = lab.to_xyz(A);
        let there = adapt(colour, A, D65);
        let back = adapt(there, D65, A);
        for (a, b) in [(colour.x, back.x), (colour.y, back.y), (colour.z, back.z)] {
            prop_assert!((a - b).abs() <= 1e-10);
        }
        let white = adapt(A, A, D65);
        prop_assert!((white.x - D65.x).abs() + (white.y - D65.y).abs() + (white.z - D65.z).abs() <= 1e-11);
    }
}

/// A perfect reflector is exactly white, and an even grey has no hue, under every light and observer of the library.
#[test]
fn even_reflectors_have_no_hue() {
    let engine = Engine::new().unwrap();
    for head in engine.library().lights() {
        for observer in engine.library().observers() {
            let conditions = Conditions {
                light: Light::Named(head.light.clone()),
                observer: observer.observer.clone(),
                ..Conditions::default()
            };
            let viewing = engine.viewing(&conditions).unwrap();
            assert_eq!(viewing.wavelength_nm().len(), 81);
            assert!((viewing.white().y - 100.0).abs() <= 1e-12);
            for share in [1.0, 0.5, 0.18, 0.003] {
                let lab = viewing.lab(&vec![share; 81]);
                assert!(lab.a.abs() <= 1e-11 && lab.b.abs() <= 1e-11, "{} {share}: {lab:?}", head.light);
                let l =
                    if share > 0.008_856_451_679 { 116.0 * f64::cbrt(share) - 16.0 } else { share * 24_389.0 / 27.0 };
                assert!((lab.l - l).abs() <= 1e-10, "{} {share}: {lab:?}", head.light);
            }
        }
    }
}

/// Light adds up: XYZ of a mixture is the mixture of XYZ.
#[test]
fn light_adds_up() {
    let engine = Engine::new().unwrap();
    let viewing = viewing(&engine, "F11", "10", "380-780/5");
    let one: Vec<f64> = (0..81).map(|i| 0.2 + 0.7 * f64::from(i) / 80.0).collect();
    let two: Vec<f64> = (0..81).map(|i| 0.5 + 0.4 * (f64::from(i) * 0.3).sin()).collect();
    let half: Vec<f64> = one.iter().zip(&two).map(|(a, b)| 0.5 * (a + b)).collect();
    let [x1, x2, x] = [&one, &two, &half].map(|spectrum| viewing.xyz(spectrum));
    for (mean, whole) in [(x1.x + x2.x, x.x), (x1.y + x2.y, x.y), (x1.z + x2.z, x.z)] {
        assert!((0.5 * mean - whole).abs() <= 1e-12 * mean);
    }
}

/// Hues that lie exactly opposite: the hue step has no shorter way round, and must not depend on which comes first.
/// G. Sharma et al. (2005) let the difference of the hue angles decide.
#[test]
fn opposite_hues_differ_alike_in_both_orders() {
    for (one, two) in [((40.0, -4.0), (-20.0, 2.0)), ((0.0, 30.0), (0.0, -10.0)), ((-7.0, -7.0), (21.0, 21.0))] {
        let lab = |(a, b): (f64, f64)| Lab { l: 50.0, a, b };
        let (there, back) = (ciede2000(lab(one), lab(two)), ciede2000(lab(two), lab(one)));
        assert!((there - back).abs() < 1e-9 && there > 10.0, "{one:?} {two:?}: {there} {back}");
    }
}
