//! A local response from settings to a colour (or any few numbers), learnt from the shop's own runs.
//!
//! Where no table of a film exists (carbonitrides, a recipe of the house) there is nothing to compute from; but near the
//! runs that were made, numbers follow settings along a straight line. The line, its scatter and how far to trust it
//! come from the runs alone: linear regression with a weak prior (Gelman and others, Bayesian Data Analysis, chapter 14),
//! and Student's t for what the next run will show. Outside the runs it gives no answer.
//!
//! What it is not: it knows no film, no light and no machine.

/// Spread of a slope before any run is seen, per standard deviation of its setting, in the unit of the answer. In Lab a
/// setting that is turned as far as shops turn it moves a colour by some tens: wide enough to leave the runs the say.
const SLOPE_SD: f64 = 100.0;
/// The same for the level.
const LEVEL_SD: f64 = 1_000.0;
/// What two runs at the same settings differ by before any is seen (own judgement), and as how many runs that counts.
const SCATTER: f64 = 1.0;
const SCATTER_RUNS: f64 = 2.0;
/// A place is outside where it lies further out than the outermost run did, in the measure of the runs (leverage).
const SLACK: f64 = 1e-9;

/// Why nothing was learnt.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ResponseError {
    /// Too few runs.
    #[error("{have} runs say nothing of {settings} settings: at least {need} are needed, each with what came out")]
    TooFew {
        /// Runs at hand.
        have: usize,
        /// Runs needed.
        need: usize,
        /// Settings that moved.
        settings: usize,
    },
}

/// A straight-line response of `N` numbers to settings.
#[derive(Debug, Clone, PartialEq)]
pub struct Response<const N: usize> {
    mean: Vec<f64>,
    scale: Vec<f64>,
    low: Vec<f64>,
    high: Vec<f64>,
    /// Level and slopes (per standard deviation of a setting), for each number.
    coefficients: [Vec<f64>; N],
    /// Inverse of the normal matrix, row by row.
    inverse: Vec<f64>,
    noise: [f64; N],
    freedom: f64,
    leverage: f64,
}

/// What a run at some settings will show.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Foreseen<const N: usize> {
    /// Middle.
    pub mean: [f64; N],
    /// Scale of Student's t with [`Foreseen::freedom`] degrees, for one run: line and scatter together.
    pub scale: [f64; N],
    /// The same for the line alone.
    pub line: [f64; N],
    /// Degrees of freedom.
    pub freedom: f64,
}

impl<const N: usize> Response<N> {
    /// Learns from runs: settings, and the numbers that came out. Each run has as many settings as the first.
    ///
    /// # Errors
    /// [`ResponseError`] when there are fewer than two runs more than settings.
    pub fn learn(runs: &[(Vec<f64>, [f64; N])]) -> Result<Self, ResponseError> {
        let settings = runs.first().map_or(0, |r| r.0.len());
        let need = settings + 2;
        if runs.len() < need {
            return Err(ResponseError::TooFew { have: runs.len(), need, settings });
        }
        #[expect(clippy::cast_precision_loss, reason = "a logbook")]
        let count = runs.len() as f64;
        let column = |i: usize| runs.iter().map(move |r| r.0[i]);
        let mean: Vec<f64> = (0..settings).map(|i| column(i).sum::<f64>() / count).collect();
        let scale: Vec<f64> = (0..settings)
            .map(|i| {
                let variance = column(i).map(|x| square(x - mean[i])).sum::<f64>() / count;
                if variance > 0.0 { variance.sqrt() } else { 1.0 }
            })
            .collect();
        let low = (0..settings).map(|i| column(i).fold(f64::INFINITY, f64::min)).collect();
        let high = (0..settings).map(|i| column(i).fold(f64::NEG_INFINITY, f64::max)).collect();
        let size = settings + 1;
        let rows: Vec<Vec<f64>> = runs.iter().map(|r| standard(&r.0, &mean, &scale)).collect();
        let mut normal = vec![0.0; size * size];
        for row in &rows {
            for i in 0..size {
                for j in 0..size {
                    normal[i * size + j] += row[i] * row[j];
                }
            }
        }
        for i in 0..size {
            // The scatter is near 1, so that the prior counts as it stands.
            let sd = if i == 0 { LEVEL_SD } else { SLOPE_SD };
            normal[i * size + i] += square(SCATTER / sd);
        }
        let inverse = inverse(&normal, size);
        let coefficients: [Vec<f64>; N] = std::array::from_fn(|n| {
            let right: Vec<f64> =
                (0..size).map(|i| rows.iter().zip(runs).map(|(row, run)| row[i] * run.1[n]).sum::<f64>()).collect();
            times(&inverse, &right)
        });
        #[expect(clippy::cast_precision_loss, reason = "a handful of settings")]
        let freedom = SCATTER_RUNS + (count - size as f64);
        let noise = std::array::from_fn(|n| {
            let left: f64 = rows.iter().zip(runs).map(|(row, run)| square(run.1[n] - dot(row, &coefficients[n]))).sum();
            ((SCATTER_RUNS * SCATTER * SCATTER + left) / freedom).sqrt()
        });
        let leverage = rows.iter().map(|row| dot(row, &times(&inverse, row))).fold(0.0, f64::max);
        Ok(Self { mean, scale, low, high, coefficients, inverse, noise, freedom, leverage })
    }

    /// What a run at `settings` will show; `None` outside the runs that were made.
    pub fn at(&self, settings: &[f64]) -> Option<Foreseen<N>> {
        let within = settings.iter().zip(self.low.iter().zip(&self.high)).all(|(x, (low, high))| x >= low && x <= high);
        let row = standard(settings, &self.mean, &self.scale);
        let leverage = dot(&row, &times(&self.inverse, &row));
        if !within || leverage > self.leverage + SLACK {
            return None;
        }
        Some(Foreseen {
            mean: std::array::from_fn(|n| dot(&row, &self.coefficients[n])),
            scale: self.noise.map(|s| s * (1.0 + leverage).sqrt()),
            line: self.noise.map(|s| s * leverage.sqrt()),
            freedom: self.freedom,
        })
    }

    /// Slope of number `n` against setting `i`, per unit of the setting, and its scale.
    pub fn slope(&self, n: usize, i: usize) -> (f64, f64) {
        let size = self.mean.len() + 1;
        let sd = self.noise[n] * self.inverse[(i + 1) * size + i + 1].sqrt();
        (self.coefficients[n][i + 1] / self.scale[i], sd / self.scale[i])
    }

    /// Least and greatest of setting `i` among the runs.
    pub fn span(&self, i: usize) -> [f64; 2] {
        [self.low[i], self.high[i]]
    }

    /// Scatter of number `n` about the line.
    pub fn scatter(&self, n: usize) -> f64 {
        self.noise[n]
    }
}

pub(crate) fn square(x: f64) -> f64 {
    x * x
}

fn standard(settings: &[f64], mean: &[f64], scale: &[f64]) -> Vec<f64> {
    std::iter::once(1.0).chain(settings.iter().zip(mean.iter().zip(scale)).map(|(x, (m, s))| (x - m) / s)).collect()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn times(matrix: &[f64], vector: &[f64]) -> Vec<f64> {
    matrix.chunks(vector.len()).map(|row| dot(row, vector)).collect()
}

/// Inverse of a symmetric positive matrix, by Gauss and Jordan: the prior on its diagonal keeps it from being singular.
pub(crate) fn inverse(matrix: &[f64], size: usize) -> Vec<f64> {
    let mut left = matrix.to_vec();
    let mut right = vec![0.0; size * size];
    (0..size).for_each(|i| right[i * size + i] = 1.0);
    for i in 0..size {
        let pivot = left[i * size + i];
        for j in 0..size {
            left[i * size + j] /= pivot;
            right[i * size + j] /= pivot;
        }
        for k in (0..size).filter(|k| *k != i) {
            let factor = left[k * size + i];
            for j in 0..size {
                left[k * size + j] -= factor * left[i * size + j];
                right[k * size + j] -= factor * right[i * size + j];
            }
        }
    }
    right
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(x: f64) -> [f64; 1] {
        [50.0 - 3.0 * x]
    }

    #[test]
    fn a_straight_line_is_found_and_not_left() {
        let runs: Vec<_> = [4.0, 6.0, 8.0, 10.0, 12.0].map(|x| (vec![x], line(x))).to_vec();
        let response = Response::learn(&runs).unwrap();
        let (slope, sd) = response.slope(0, 0);
        assert!((slope + 3.0).abs() < 0.01 && sd > 0.0, "{slope} {sd}");
        let middle = response.at(&[8.0]).unwrap();
        let end = response.at(&[12.0]).unwrap();
        assert!(
            (middle.mean[0] - 26.0).abs() < 0.01 && middle.line[0] < end.line[0] && middle.scale[0] > middle.line[0]
        );
        assert_eq!(response.at(&[12.1]), None);
        assert_eq!(response.at(&[3.9]), None);
    }

    #[test]
    fn a_corner_that_no_run_came_near_is_outside() {
        // Two settings that were always turned together: each within its span, but never so apart.
        let runs: Vec<_> = [1.0, 2.0, 3.0, 4.0].map(|x| (vec![x, 10.0 * x + 0.1 * x * x], line(x))).to_vec();
        let response = Response::learn(&runs).unwrap();
        assert!(response.at(&[2.5, 25.6]).is_some());
        assert_eq!(response.at(&[1.0, 41.0]), None);
    }

    #[test]
    fn too_few_runs_are_refused() {
        let runs = [(vec![1.0], line(1.0)), (vec![2.0], line(2.0))];
        assert_eq!(Response::learn(&runs), Err(ResponseError::TooFew { have: 2, need: 3, settings: 1 }));
    }
}
