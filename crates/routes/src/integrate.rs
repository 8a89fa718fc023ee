//! Steps through time with a stated error: J. R. Dormand and P. J. Prince, J. Comput. Appl. Math. 6, 19 (1980), the pair
//! of orders 5 and 4.

const C: [f64; 7] = [0.0, 1.0 / 5.0, 3.0 / 10.0, 4.0 / 5.0, 8.0 / 9.0, 1.0, 1.0];
const A: [&[f64]; 7] = [
    &[],
    &[1.0 / 5.0],
    &[3.0 / 40.0, 9.0 / 40.0],
    &[44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0],
    &[19_372.0 / 6_561.0, -25_360.0 / 2_187.0, 64_448.0 / 6_561.0, -212.0 / 729.0],
    &[9_017.0 / 3_168.0, -355.0 / 33.0, 46_732.0 / 5_247.0, 49.0 / 176.0, -5_103.0 / 18_656.0],
    &[35.0 / 384.0, 0.0, 500.0 / 1_113.0, 125.0 / 192.0, -2_187.0 / 6_784.0, 11.0 / 84.0],
];
/// Weights of order 5 less those of order 4.
const E: [f64; 7] =
    [71.0 / 57_600.0, 0.0, -71.0 / 16_695.0, 71.0 / 1_920.0, -17_253.0 / 339_200.0, 22.0 / 525.0, -1.0 / 40.0];

/// One step of `h` from `y` at `t`: the new values of order 5, and the greatest error beside `tolerance` (absolute, in
/// the unit of the values). `rate` fills the derivatives.
pub(crate) fn step(
    t: f64,
    y: &[f64],
    h: f64,
    tolerance: f64,
    rate: &mut impl FnMut(f64, &[f64], &mut [f64]),
) -> (Vec<f64>, f64) {
    let n = y.len();
    let mut slopes: Vec<Vec<f64>> = Vec::with_capacity(7);
    let mut at = y.to_vec();
    for stage in 0..7 {
        at.copy_from_slice(y);
        for (weight, slope) in A[stage].iter().zip(&slopes) {
            for (value, s) in at.iter_mut().zip(slope) {
                *value += h * weight * s;
            }
        }
        let mut slope = vec![0.0; n];
        rate(t + C[stage] * h, &at, &mut slope);
        slopes.push(slope);
    }
    // The last stage stands at the new values (first same as last).
    let mut worst: f64 = 0.0;
    for i in 0..n {
        let error: f64 = E.iter().zip(&slopes).map(|(e, s)| e * s[i]).sum::<f64>() * h;
        worst = worst.max(error.abs() / tolerance);
    }
    (at, worst)
}

/// Length of the next step after one of `h` that erred by `error` (1: as allowed).
pub(crate) fn next_length(h: f64, error: f64) -> f64 {
    h * (0.9 * libm::pow(error.max(1e-10), -0.2)).clamp(0.2, 4.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decay_is_followed() {
        let (mut t, mut y, mut h) = (0.0, vec![1.0], 0.1);
        while t < 3.0 {
            let (next, error) = step(t, &y, h, 1e-9, &mut |_, y: &[f64], d: &mut [f64]| d[0] = -y[0]);
            if error <= 1.0 {
                (t, y) = (t + h, next);
            }
            h = next_length(h, error).min(f64::max(3.0 - t, 1e-12));
        }
        assert!((y[0] - libm::exp(-3.0)).abs() < 1e-8);
    }
}
