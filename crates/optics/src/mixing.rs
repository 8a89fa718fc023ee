//! Effective medium of two phases.

use crate::complex::Cx;
use crate::scalar::Real;

/// Bruggeman's symmetric effective medium for spherical grains: the index of a mixture of `first` and `second`.
///
/// Solves (1-f)(e1-e)/(e1+2e) + f(e2-e)/(e2+2e) = 0 with e = N^2, f = `share_of_second` in 0..=1 (by volume).
/// Written with p = N1/N2 as b = [(3f-1)(1/p - p) + p]/4, z = b + sqrt(b^2 + 1/2), e = z N1 N2: because both indices lie
/// in the first quadrant, Re p > 0 and the principal root is the physical one at every f; no sign is ever guessed.
/// Shares 0 and 1 give back the phases.
///
/// Valid for grains far smaller than the wavelength. Source: D. A. G. Bruggeman, Ann. Phys. 416, 636 (1935);
/// V. A. Markel, J. Opt. Soc. Am. A 33, 1244 (2016).
pub fn bruggeman<T: Real>(first: Cx<T>, second: Cx<T>, share_of_second: T) -> Cx<T> {
    let f = share_of_second;
    let p = first / second;
    let one = Cx::of(1.0, 0.0);
    let b = ((one / p - p).scale(f * 3.0 - 1.0) + p).scale(T::of(0.25));
    let z = b + (b * b + Cx::of(0.5, 0.0)).sqrt();
    let n = (z * first * second).sqrt();
    // Two clear phases make a clear mixture: rounding may leave k at -1e-17.
    if n.im.value() < 0.0 { Cx::new(n.re, T::of(0.0)) } else { n }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn residual(first: Cx<f64>, second: Cx<f64>, f: f64) -> f64 {
        let e = bruggeman(first, second, f);
        let (e, e1, e2) = (e * e, first * first, second * second);
        let term = |ei: Cx<f64>| (ei - e) / (ei + e + e);
        let sum = term(e1).scale(1.0 - f) + term(e2).scale(f);
        sum.norm_sqr().sqrt()
    }

    #[test]
    fn the_root_solves_the_equation_and_is_physical() {
        let phases = [Cx::of(0.9, 1.8), Cx::of(2.45, 0.0), Cx::of(1.0, 0.0), Cx::of(0.05, 4.0), Cx::of(3.0, 3.0)];
        for a in phases {
            for b in phases {
                for step in 0..=20 {
                    let f = f64::from(step) / 20.0;
                    let n = bruggeman(a, b, f);
                    assert!(residual(a, b, f) < 1e-9, "{a:?} {b:?} {f}");
                    assert!(n.re > 0.0 && n.im >= 0.0, "{a:?} {b:?} {f} {n:?}");
                }
                assert!((bruggeman(a, b, 0.0) - a).norm_sqr() < 1e-20);
                assert!((bruggeman(a, b, 1.0) - b).norm_sqr() < 1e-20);
            }
        }
    }
}
