//! What a small source sends to a small receiver: the cosine law and its closed forms.
//!
//! Atoms fly straight and stick where they arrive: right while their free path is longer than the way, that is at low
//! pressure. It is some 50 mm at 0.1 Pa and in proportion shorter above (order of magnitude, from memory), so that at the
//! usual 0.1 to 1 Pa some come round corners: faces turned away and shaded get more than is told here, edges of the
//! shade are softer, and heights more even.

use std::f64::consts::PI;

/// A small plane source that sends cos^n of the angle to its normal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Emitter {
    /// Where it is, mm.
    pub at: [f64; 3],
    /// Its normal, of length 1.
    pub normal: [f64; 3],
    /// n, from 0: 0 sends alike into the half space before it, 1 is the law of Knudsen.
    pub exponent: f64,
}

/// x^power, by products where the power is a small whole number.
pub(crate) fn power(x: f64, power: f64) -> f64 {
    let whole = power.round();
    if (power - whole).abs() > 0.0 || !(0.0..=12.0).contains(&whole) {
        return libm::pow(x, power);
    }
    let mut product = 1.0;
    let mut left = whole;
    while left > 0.5 {
        product *= x;
        left -= 1.0;
    }
    product
}

/// Share of all that the source emits which arrives on a receiver at `at` (mm) with the normal `normal` (of length 1),
/// for each mm2 of it: (n + 1) / (2 pi) cos^n(a) cos(b) / d^2.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | a | angle between the source's normal and the way to the receiver | |
/// | b | angle between the receiver's normal and the way to the source | |
/// | d | distance, above 0 | mm |
///
/// 0 where either turns its back. The factor makes the sum over the half space 1. Source: textbook; a fit of cos^n to
/// measured distributions is established practice (coatings.md 3.3).
pub fn arriving(emitter: &Emitter, at: [f64; 3], normal: [f64; 3]) -> f64 {
    let way = [at[0] - emitter.at[0], at[1] - emitter.at[1], at[2] - emitter.at[2]];
    let dot = |u: [f64; 3], v: [f64; 3]| u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
    let (sent, met) = (dot(emitter.normal, way), -dot(normal, way));
    let square = dot(way, way);
    if sent <= 0.0 || met <= 0.0 || square <= 0.0 {
        return 0.0;
    }
    let d = square.sqrt();
    let n = emitter.exponent;
    (n + 1.0) / (2.0 * PI) * power(sent / d, n) * (met / d) / square
}

/// Thickness on a flat receiver beside the foot of a small source, over that at the foot: `[1 + (l/h)^2]^(-(n+3)/2)`.
///
/// `l_over_h`: distance from the foot over the height of the source; n the exponent of its cosine law. The source looks
/// straight at the receiver. Source: textbook, n = 1: L. Holland and W. Steckelmacher, Vacuum 2 (1952); as coatings.md 3.3.
pub fn beside(l_over_h: f64, n: f64) -> f64 {
    libm::pow(1.0 + l_over_h * l_over_h, -0.5 * (n + 3.0))
}

/// Thickness at `r` from the axis of a ring source with the law n = 1, over that on the axis: the same for a plate that
/// turns before one source beside its axis.
///
/// `h`: height of the ring above the plate; `radius`: of the ring; all in one unit. t = A / (A^2 - B^2)^(3/2) with
/// A = h^2 + radius^2 + r^2 and B = 2 r radius. Source: textbook (coatings.md 3.3).
pub fn ring(r: f64, h: f64, radius: f64) -> f64 {
    let at = |r: f64| {
        let (a, b) = (h * h + radius * radius + r * r, 2.0 * r * radius);
        let under = a * a - b * b;
        a / (under * under.sqrt())
    };
    at(r) / at(0.0)
}

/// Height over radius at which a ring source of law n coats the middle of a plate flattest, to the second order:
/// sqrt((n + 3) / 2). A slightly lower ring (1.2 instead of 1.41 for n = 1) spreads less over three quarters of the
/// radius. Derived in coatings.md 3.3.
pub fn flattest_ring(n: f64) -> f64 {
    (0.5 * (n + 3.0)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beside_is_the_law_of_two_small_planes() {
        for n in [0.0, 1.0, 1.5, 3.0] {
            let source = Emitter { at: [0.0, 0.0, 200.0], normal: [0.0, 0.0, -1.0], exponent: n };
            let up = [0.0, 0.0, 1.0];
            let foot = arriving(&source, [0.0; 3], up);
            for l in [20.0, 90.0, 200.0] {
                let share = arriving(&source, [l, 0.0, 0.0], up) / foot;
                assert!((share / beside(l / 200.0, n) - 1.0).abs() < 1e-12, "{n} {l}");
            }
        }
    }

    #[test]
    fn a_turned_back_gets_nothing() {
        let source = Emitter { at: [0.0; 3], normal: [1.0, 0.0, 0.0], exponent: 0.0 };
        assert!(arriving(&source, [10.0, 3.0, 0.0], [1.0, 0.0, 0.0]) <= 0.0);
        assert!(arriving(&source, [-10.0, 3.0, 0.0], [1.0, 0.0, 0.0]) <= 0.0);
        assert!(arriving(&source, [0.0; 3], [-1.0, 0.0, 0.0]) <= 0.0);
        assert!(arriving(&source, [10.0, 3.0, 0.0], [-1.0, 0.0, 0.0]) > 0.0);
    }

    #[test]
    fn the_flattest_ring_bends_neither_way() {
        let h = flattest_ring(1.0);
        // Of fourth order: halving r leaves a sixteenth.
        let (near, far) = (1.0 - ring(0.05, h, 1.0), 1.0 - ring(0.1, h, 1.0));
        assert!((far / near - 16.0).abs() < 0.5, "{near} {far}");
    }
}
