//! Energy: what comes in is sent back, turned to heat or passed on; clear films keep nothing; both ways pass alike.

use crate::random::{any_light, any_stack, lossless_stack, seeded, stack_on_glass};
use huewright_tests::stacks::Stack;
use optics::Cx;
use optics::stack::POLARISATIONS;
use proptest::prelude::*;

const TOLERANCE: f64 = 1e-12;

proptest! {
    #![proptest_config(seeded(1_500))]

    #[test]
    fn reflected_absorbed_and_passed_make_one(stack in any_stack(), (wavelength_nm, angle_deg) in any_light()) {
        for polarisation in POLARISATIONS {
            let energy = stack.energy(wavelength_nm, angle_deg, polarisation);
            let sum = energy.reflected + energy.absorbed.iter().sum::<f64>() + energy.transmitted;
            prop_assert!((sum - 1.0).abs() <= TOLERANCE, "{sum}");
            prop_assert_eq!(energy.absorbed.len(), stack.films.len());
            for (share, (index, _)) in energy.absorbed.iter().zip(&stack.films) {
                prop_assert!(*share >= -TOLERANCE, "a film that shines: {share}");
                if index.im == 0.0 {
                    prop_assert!(share.abs() <= TOLERANCE, "a clear film keeps {share}");
                }
            }
            prop_assert!(energy.transmitted >= -TOLERANCE);
            // The two ways to the reflectance agree, and nothing reflects more than it gets.
            let reflectance = stack.reflectance(wavelength_nm, angle_deg, polarisation);
            prop_assert!((reflectance - energy.reflected).abs() <= TOLERANCE);
            prop_assert!((0.0..=1.0 + TOLERANCE).contains(&reflectance), "{reflectance}");
        }
    }

    #[test]
    fn clear_stacks_lose_nothing(stack in lossless_stack(), (wavelength_nm, angle_deg) in any_light()) {
        for polarisation in POLARISATIONS {
            let energy = stack.energy(wavelength_nm, angle_deg, polarisation);
            let sum = energy.reflected + energy.transmitted;
            prop_assert!((sum - 1.0).abs() <= TOLERANCE, "{sum}");
        }
    }

    /// Between clear media light passes equally well both ways, however the films absorb (H. A. Lorentz, 1896).
    #[test]
    fn what_passes_in_passes_out(stack in stack_on_glass(), (wavelength_nm, angle_deg) in any_light()) {
        let sine = stack.ambient_n * angle_deg.to_radians().sin() / stack.base.re;
        // Beyond total reflection nothing passes, and there is no angle below.
        prop_assume!(sine < 0.999);
        let turned = Stack {
            ambient_n: stack.base.re,
            base: Cx::of(stack.ambient_n, 0.0),
            films: stack.films.iter().rev().copied().collect(),
        };
        for polarisation in POLARISATIONS {
            let inward = stack.energy(wavelength_nm, angle_deg, polarisation).transmitted;
            let outward = turned.energy(wavelength_nm, sine.asin().to_degrees(), polarisation).transmitted;
            prop_assert!((inward - outward).abs() <= TOLERANCE, "{inward} {outward}");
            // Of what is nearly opaque the small rest agrees too.
            prop_assert!((inward - outward).abs() <= 1e-8 * inward.max(1e-200), "{inward:e} {outward:e}");
        }
    }
}
