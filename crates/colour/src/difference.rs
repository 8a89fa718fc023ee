//! Colour difference CIEDE2000.

use crate::lab::Lab;

/// 25^7, in the chroma weighting.
const C25_7: f64 = 6_103_515_625.0;

/// CIEDE2000 with unit weights, ISO/CIE 11664-6:2014; symmetric in its arguments.
///
/// The hue steps are taken by cross and dot products instead of angle differences, so that no rounding of an arctangent
/// can flip a case (G. Sharma, W. Wu, E. N. Dalal, Color Res. Appl. 30, 21, 2005, discuss the breaks; their pair 14 has
/// exactly opposite hues and keeps their rule: half the sum of both hue angles).
pub fn ciede2000(one: Lab, two: Lab) -> f64 {
    let c_mean = 0.5 * (libm::hypot(one.a, one.b) + libm::hypot(two.a, two.b));
    let c7 = seventh(c_mean);
    let g = 0.5 * (1.0 - (c7 / (c7 + C25_7)).sqrt());
    let (a1, a2) = ((1.0 + g) * one.a, (1.0 + g) * two.a);
    let (c1, c2) = (libm::hypot(a1, one.b), libm::hypot(a2, two.b));

    let (dl, dc) = (two.l - one.l, c2 - c1);
    let product = c1 * c2;
    let cross = a1 * two.b - a2 * one.b;
    let dot = a1 * a2 + one.b * two.b;
    let dh = if product <= 0.0 {
        0.0
    } else if dot > 0.0 {
        cross / (0.5 * (product + dot)).sqrt()
    } else {
        // Exactly opposite hues: the step goes the way of the hue angles, so that both orders agree.
        let way = if cross == 0.0 { hue(two.b, a2) - hue(one.b, a1) } else { cross };
        (2.0 * (product - dot)).max(0.0).sqrt().copysign(way)
    };

    let l = 0.5 * (one.l + two.l);
    let c = 0.5 * (c1 + c2);
    let h = mean_hue(a1, one.b, c1, a2, two.b, c2, cross, dot);
    let cos = |factor: f64, turn: f64| libm::cos((factor * h + turn).to_radians());
    let t = 1.0 - 0.17 * cos(1.0, -30.0) + 0.24 * cos(2.0, 0.0) + 0.32 * cos(3.0, 6.0) - 0.20 * cos(4.0, -63.0);
    let l50 = (l - 50.0) * (l - 50.0);
    let s_l = 1.0 + 0.015 * l50 / (20.0 + l50).sqrt();
    let s_c = 1.0 + 0.045 * c;
    let s_h = 1.0 + 0.015 * c * t;
    let away = (h - 275.0) / 25.0;
    let theta = 30.0 * libm::exp(-(away * away));
    let c7 = seventh(c);
    let r_t = -libm::sin((2.0 * theta).to_radians()) * 2.0 * (c7 / (c7 + C25_7)).sqrt();
    let (x, y, z) = (dl / s_l, dc / s_c, dh / s_h);
    (x * x + y * y + z * z + r_t * y * z).max(0.0).sqrt()
}

fn seventh(c: f64) -> f64 {
    let c3 = c * c * c;
    c3 * c3 * c
}

/// Hue angle in degrees, 0..360.
fn hue(b: f64, a: f64) -> f64 {
    libm::atan2(b, a).to_degrees().rem_euclid(360.0)
}

/// Mean hue angle in degrees, 0..360: the direction of the sum of both unit vectors.
#[expect(clippy::too_many_arguments, reason = "the two chroma vectors and what was already formed from them")]
fn mean_hue(a1: f64, b1: f64, c1: f64, a2: f64, b2: f64, c2: f64, cross: f64, dot: f64) -> f64 {
    if c1 <= 0.0 || c2 <= 0.0 {
        // One grey: the formula takes the sum of both angles, that of a grey being 0.
        return if c1 > 0.0 {
            hue(b1, a1)
        } else if c2 > 0.0 {
            hue(b2, a2)
        } else {
            0.0
        };
    }
    if cross == 0.0 && dot < 0.0 {
        return 0.5 * (hue(b1, a1) + hue(b2, a2));
    }
    hue(b1 / c1 + b2 / c2, a1 / c1 + a2 / c2)
}
