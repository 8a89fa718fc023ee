//! Bruggeman's mixture: its ends, its symmetry, the bounds that any mixture obeys, and the textbook root.

use crate::random::{absorbing_index, clear_index, seeded};
use optics::{Cx, bruggeman};
use proptest::prelude::*;

fn square(n: Cx<f64>) -> Cx<f64> {
    n * n
}

fn size(z: Cx<f64>) -> f64 {
    z.norm_sqr().sqrt()
}

proptest! {
    #![proptest_config(seeded(2_000))]

    #[test]
    fn the_ends_are_the_phases(one in absorbing_index(), two in absorbing_index()) {
        prop_assert!(size(bruggeman(one, two, 0.0) - one) <= 1e-10 * size(one));
        prop_assert!(size(bruggeman(one, two, 1.0) - two) <= 1e-10 * size(two));
    }

    #[test]
    fn neither_phase_is_the_host(one in absorbing_index(), two in absorbing_index(), f in 0.0..1.0) {
        let (there, back) = (bruggeman(one, two, f), bruggeman(two, one, 1.0 - f));
        prop_assert!(size(there - back) <= 1e-9 * size(there), "{there:?} {back:?}");
    }

    /// e = [b + sqrt(b^2 + 8 e1 e2)]/4, b = (2-3f) e1 + (3f-1) e2, the root with Im e >= 0 (Markel 2016, eq. for spheres).
    #[test]
    fn the_textbook_root(one in absorbing_index(), two in absorbing_index(), f in 0.01..0.99) {
        let (e1, e2) = (square(one), square(two));
        let b = e1.scale(2.0 - 3.0 * f) + e2.scale(3.0 * f - 1.0);
        let root = (b * b + (e1 * e2).scale(8.0)).sqrt();
        let ours = square(bruggeman(one, two, f));
        let near = [b + root, b - root].map(|e| size(e.scale(0.25) - ours)).into_iter().fold(f64::INFINITY, f64::min);
        prop_assert!(near <= 1e-8 * (size(e1) + size(e2)), "{near:e}");
        prop_assert!(ours.im >= -1e-12 * size(ours));
        prop_assert!(bruggeman(one, two, f).re > 0.0 && bruggeman(one, two, f).im >= 0.0);
    }

    /// Clear phases: between the bounds of Hashin and Shtrikman (J. Appl. Phys. 33, 3125, 1962), hence within those of
    /// Wiener, and rising with the share of the denser phase.
    #[test]
    fn clear_mixtures_keep_the_bounds(one in clear_index(), two in clear_index(), f in 0.0..1.0) {
        let (low, high) = if one.re <= two.re { (one, two) } else { (two, one) };
        let (e1, e2) = (low.re * low.re, high.re * high.re);
        prop_assume!(e2 - e1 > 1e-6);
        let mixture = bruggeman(low, high, f);
        prop_assert!(mixture.im == 0.0, "clear phases make a clear mixture: {mixture:?}");
        let e = mixture.re * mixture.re;
        let lower = e1 + f / (1.0 / (e2 - e1) + (1.0 - f) / (3.0 * e1));
        let upper = e2 + (1.0 - f) / (1.0 / (e1 - e2) + f / (3.0 * e2));
        prop_assert!((lower - 1e-9..=upper + 1e-9).contains(&e), "{lower} {e} {upper}");
        let more = bruggeman(low, high, (f + 0.01).min(1.0));
        prop_assert!(more.re >= mixture.re - 1e-12);
    }
}
