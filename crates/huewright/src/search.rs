//! Finding the least value of a function of a few bounded numbers. It does not know what it optimises.

/// A place and the value there.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The numbers.
    pub at: Vec<f64>,
    /// The function there.
    pub value: f64,
}

/// Least value on a bracketed line `low..=high`, by golden section, to `tolerance` in the argument.
///
/// # Panics
/// Never; `f` may return NaN, which counts as infinitely bad.
pub fn least_on_line(mut f: impl FnMut(f64) -> f64, low: f64, high: f64, tolerance: f64) -> (f64, f64) {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let mut value = |x: f64| {
        let v = f(x);
        if v.is_nan() { f64::INFINITY } else { v }
    };
    let (mut a, mut b) = (low, high);
    let (mut c, mut d) = (b - GOLDEN * (b - a), a + GOLDEN * (b - a));
    let (mut fc, mut fd) = (value(c), value(d));
    while b - a > tolerance {
        if fc < fd {
            (b, d, fd) = (d, c, fc);
            c = b - GOLDEN * (b - a);
            fc = value(c);
        } else {
            (a, c, fc) = (c, d, fd);
            d = a + GOLDEN * (b - a);
            fd = value(d);
        }
    }
    let middle = 0.5 * (a + b);
    // Ends count too: a least value may sit on a bound.
    [(middle, value(middle)), (low, value(low)), (high, value(high))]
        .into_iter()
        .min_by(|x, y| x.1.total_cmp(&y.1))
        .unwrap_or((middle, f64::INFINITY))
}

/// Indices of the local minima of equally spaced values (ends included), best first.
pub fn valleys(values: &[f64]) -> Vec<usize> {
    let mut found: Vec<usize> = (0..values.len())
        .filter(|i| {
            let left = i.checked_sub(1).map_or(f64::INFINITY, |j| values[j]);
            let right = values.get(i + 1).copied().unwrap_or(f64::INFINITY);
            values[*i] <= left && values[*i] <= right
        })
        .collect();
    found.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    found
}

/// Downhill simplex (J. A. Nelder, R. Mead, Comput. J. 7, 308, 1965) within `bounds`, from `start` with first steps
/// `steps`. Stops when the simplex is smaller than `tolerance` times the steps, or after `limit` evaluations.
pub fn downhill(
    mut f: impl FnMut(&[f64]) -> f64,
    start: &[f64],
    steps: &[f64],
    bounds: &[(f64, f64)],
    tolerance: f64,
    limit: usize,
) -> Found {
    let n = start.len();
    let clamp = |x: &mut Vec<f64>| {
        for (v, (low, high)) in x.iter_mut().zip(bounds) {
            *v = v.clamp(*low, *high);
        }
    };
    let mut count = 0;
    let mut eval = |mut at: Vec<f64>| {
        clamp(&mut at);
        count += 1;
        let value = f(&at);
        (Found { value: if value.is_nan() { f64::INFINITY } else { value }, at }, count)
    };
    let mut simplex: Vec<Found> = Vec::with_capacity(n + 1);
    simplex.push(eval(start.to_vec()).0);
    for i in 0..n {
        let mut corner = start.to_vec();
        // Step away from a bound that is near.
        corner[i] += if corner[i] + steps[i] > bounds[i].1 { -steps[i] } else { steps[i] };
        simplex.push(eval(corner).0);
    }
    loop {
        simplex.sort_by(|a, b| a.value.total_cmp(&b.value));
        let size = (0..n)
            .map(|i| {
                let (low, high) = simplex
                    .iter()
                    .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), s| (l.min(s.at[i]), h.max(s.at[i])));
                (high - low) / steps[i].max(f64::MIN_POSITIVE)
            })
            .fold(0.0, f64::max);
        let worst = simplex[n].clone();
        #[expect(clippy::cast_precision_loss, reason = "a handful of dimensions")]
        let centre: Vec<f64> = (0..n).map(|i| simplex[..n].iter().map(|s| s.at[i]).sum::<f64>() / n as f64).collect();
        let along = |t: f64| (0..n).map(|i| centre[i] + t * (worst.at[i] - centre[i])).collect::<Vec<f64>>();
        let (reflected, used) = eval(along(-1.0));
        if size < tolerance || used >= limit {
            return simplex.swap_remove(0);
        }
        if reflected.value < simplex[0].value {
            let (expanded, _) = eval(along(-2.0));
            simplex[n] = if expanded.value < reflected.value { expanded } else { reflected };
        } else if reflected.value < simplex[n - 1].value {
            simplex[n] = reflected;
        } else {
            let (contracted, _) = eval(along(if reflected.value < worst.value { -0.5 } else { 0.5 }));
            if contracted.value < worst.value.min(reflected.value) {
                simplex[n] = contracted;
            } else {
                for i in 1..=n {
                    let shrunk = (0..n).map(|k| 0.5 * (simplex[0].at[k] + simplex[i].at[k])).collect::<Vec<f64>>();
                    simplex[i] = eval(shrunk).0;
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_search_finds_a_kink_and_a_bound() {
        let (x, v) = least_on_line(|x| (x - 0.3).abs(), -1.0, 2.0, 1e-9);
        assert!((x - 0.3).abs() < 1e-8 && v < 1e-8);
        let (x, _) = least_on_line(|x| x, 2.0, 5.0, 1e-9);
        assert!((x - 2.0).abs() < 1e-12);
    }

    #[test]
    fn downhill_solves_rosenbrock_within_bounds() {
        let f = |x: &[f64]| (1.0 - x[0]).powi(2) + 100.0 * (x[1] - x[0] * x[0]).powi(2);
        let found = downhill(f, &[-1.2, 1.0], &[0.5, 0.5], &[(-2.0, 2.0), (-2.0, 2.0)], 1e-9, 5_000);
        assert!((found.at[0] - 1.0).abs() < 1e-6, "{found:?}");
        let bounded = downhill(f, &[-1.2, 1.0], &[0.5, 0.5], &[(-2.0, 0.5), (-2.0, 2.0)], 1e-9, 5_000);
        assert!((bounded.at[0] - 0.5).abs() < 1e-6, "{bounded:?}");
    }

    #[test]
    fn valleys_come_best_first() {
        assert_eq!(valleys(&[3.0, 1.0, 2.0, 0.5, 4.0, 0.7]), vec![3, 5, 1]);
    }
}
