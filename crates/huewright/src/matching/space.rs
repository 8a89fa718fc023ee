//! The numbers of a way that may be turned: thicknesses, and compositions where they are free.

use super::best::{REFINE_EVALUATIONS, Reach, SCAN_NM};
use super::enumerate::{Candidate, existing_for};
use super::step::{Setting, Step};
use crate::search::{downhill, least_on_line};

/// Thicknesses of the film below that a scan tries, nm (those that are allowed, and both ends). Nitrides hide what lies
/// below beyond some 200 nm; the refinement moves freely between.
const BELOW_NM: [f64; 6] = [8.0, 25.0, 50.0, 90.0, 160.0, 400.0];
/// Compositions of the outermost film that a scan tries: with one film, and with a film below.
const COMPOSITIONS: [u32; 2] = [17, 9];
/// Compositions of a film below that a scan tries, as shares of the range; with a default table, it and the middle.
const COMPOSITIONS_BELOW: [f64; 2] = [0.25, 0.75];
/// The same where nothing is refined: the ends too.
const COMPOSITIONS_BELOW_DENSELY: [f64; 4] = [0.0, 0.33, 0.67, 1.0];
/// Thicker than this a film below is as good as endless, and its thickness is not divided further.
const DENSE_BELOW_NM: f64 = 200.0;
/// Sizes of the simplex when it is set up anew, as shares of the first.
const RESTARTS: [f64; 2] = [0.1, 1.0];

/// What a number of the space is.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Number {
    /// Thickness that a step makes.
    Thickness,
    /// Composition of what a step lays; NaN stands for the default table beside the family, where there is one.
    Composition { step: usize, table_too: bool },
}

/// The space that is searched. The first numbers are the thicknesses, one a step; compositions follow.
pub(crate) struct Space {
    pub(crate) bounds: Vec<(f64, f64)>,
    numbers: Vec<Number>,
    /// Which number is the outermost thickness.
    pub(crate) top: usize,
    /// Composition of each step where it is not searched.
    usual: Vec<Option<f64>>,
}

impl Space {
    pub(crate) fn of(candidate: &Candidate, reach: Reach) -> Option<Self> {
        let steps = candidate.steps.len();
        let (mut bounds, mut numbers, mut usual) = (Vec::new(), Vec::new(), Vec::new());
        for (i, step) in candidate.steps.iter().enumerate() {
            let existing = if i == 0 { existing_for(step, &candidate.start) } else { 0.0 };
            let range = match reach {
                // Only the outermost film is wished for; what lies below it stays as the machine makes it.
                Reach::Wished if i + 1 == steps => step.wished_nm(existing),
                _ => step.allowed_nm(existing)?,
            };
            bounds.push((range[0], range[1]));
            numbers.push(Number::Thickness);
        }
        for (i, step) in candidate.steps.iter().enumerate() {
            usual.push(if let Step::Lay { usual, .. } = step { *usual } else { None });
            if let Step::Lay { slider: Some([from, to]), table_too, .. } = step {
                bounds.push((*from, *to));
                numbers.push(Number::Composition { step: i, table_too: *table_too });
            }
        }
        Some(Self { bounds, numbers, top: steps - 1, usual })
    }

    /// Step of the scan over the outermost thickness: coarser where many lines are scanned, and refined all the same.
    pub(crate) fn scan_step_nm(&self) -> f64 {
        if self.top == 0 { SCAN_NM } else { 1.5 * SCAN_NM }
    }

    /// How many numbers there are.
    pub(crate) fn size(&self) -> usize {
        self.numbers.len()
    }

    pub(crate) fn settings(&self, x: &[f64]) -> Vec<Setting> {
        let searched = |wanted: usize| {
            self.numbers.iter().position(|n| matches!(n, Number::Composition { step, .. } if *step == wanted))
        };
        (0..=self.top)
            .map(|i| Setting {
                thickness_nm: x[i],
                composition: match searched(i) {
                    Some(number) => Some(x[number]).filter(|c| !c.is_nan()),
                    None => self.usual[i],
                },
            })
            .collect()
    }

    /// Every combination of what is not the outermost thickness, as a search needs it: the refinement moves between.
    pub(crate) fn outer_points(&self) -> Vec<Vec<f64>> {
        self.combined(|i, number| self.tried(i, number))
    }

    /// The same with points between and at the ends, for what nothing refines.
    pub(crate) fn dense_outer_points(&self) -> Vec<Vec<f64>> {
        self.combined(|i, number| self.tried_densely(i, number))
    }

    fn combined(&self, tried: impl Fn(usize, Number) -> Vec<f64>) -> Vec<Vec<f64>> {
        let mut points = vec![self.bounds.iter().map(|b| b.0).collect::<Vec<f64>>()];
        for (i, number) in self.numbers.iter().enumerate() {
            if i == self.top {
                continue;
            }
            let values = tried(i, *number);
            points = points
                .iter()
                .flat_map(|p| {
                    values.iter().map(move |v| {
                        let mut q = p.clone();
                        q[i] = *v;
                        q
                    })
                })
                .collect();
        }
        points
    }

    fn tried(&self, i: usize, number: Number) -> Vec<f64> {
        let (low, high) = self.bounds[i];
        match number {
            Number::Thickness => {
                let mut list: Vec<f64> = BELOW_NM.iter().copied().filter(|v| *v > low && *v < high).collect();
                list.insert(0, low);
                if list.len() == 1 && high > low && low < 500.0 {
                    list.push(high);
                }
                list
            }
            Number::Composition { step, table_too } => {
                let at = |share: f64| low + (high - low) * share;
                if step < self.top {
                    return if table_too { vec![f64::NAN, at(0.5)] } else { COMPOSITIONS_BELOW.map(at).to_vec() };
                }
                let count = COMPOSITIONS[self.top.min(1)];
                let mut list: Vec<f64> = (0..count).map(|c| at(f64::from(c) / f64::from(count - 1))).collect();
                if table_too {
                    list.push(f64::NAN);
                }
                list
            }
        }
    }

    fn tried_densely(&self, i: usize, number: Number) -> Vec<f64> {
        let (low, high) = self.bounds[i];
        let scanned = self.tried(i, number);
        match number {
            Number::Thickness => {
                let between = scanned.windows(2).filter(|w| w[1] < DENSE_BELOW_NM).map(|w| 0.5 * (w[0] + w[1]));
                let mut list: Vec<f64> = between.chain(scanned.iter().copied()).collect();
                list.sort_by(f64::total_cmp);
                list
            }
            Number::Composition { step, table_too } if step < self.top => {
                let shares = COMPOSITIONS_BELOW_DENSELY.iter().map(|share| low + (high - low) * share);
                shares.chain(table_too.then_some(f64::NAN)).collect()
            }
            Number::Composition { .. } => scanned,
        }
    }

    /// A film below that hides what it lies on may be as thin as the machine lays it, and of any composition: take the
    /// thinnest, and the default table, where they are as good.
    pub(crate) fn plainest(&self, difference: &impl Fn(&[f64]) -> f64, x: Vec<f64>, value: f64) -> Vec<f64> {
        const AS_GOOD: f64 = 0.01;
        let mut plain = x;
        for (i, number) in self.numbers.iter().enumerate() {
            let plainer = match number {
                Number::Thickness if i < self.top => self.bounds[i].0,
                Number::Composition { step, table_too: true } if *step < self.top => f64::NAN,
                _ => continue,
            };
            let mut tried = plain.clone();
            tried[i] = plainer;
            if difference(&tried) <= value + AS_GOOD {
                plain = tried;
            }
        }
        plain
    }

    /// Whether two places are not of one valley: neighbours of a scan would all lead to the same bottom.
    pub(crate) fn apart(&self, x: &[f64], y: &[f64]) -> bool {
        x.iter().zip(y).enumerate().any(|(i, (a, b))| {
            if a.is_nan() || b.is_nan() {
                return a.is_nan() != b.is_nan();
            }
            let near = match self.numbers[i] {
                Number::Composition { .. } => 0.12 * (self.bounds[i].1 - self.bounds[i].0),
                Number::Thickness if i == self.top => 5.0,
                Number::Thickness => 0.3 * a.max(10.0),
            };
            (a - b).abs() > near
        })
    }

    /// First step of the simplex in number `i`.
    fn stride(&self, i: usize, x: &[f64]) -> f64 {
        let width = self.bounds[i].1 - self.bounds[i].0;
        let wished = match self.numbers[i] {
            Number::Composition { .. } => 0.03 * width,
            Number::Thickness if i == self.top => 2.0,
            Number::Thickness => 0.15 * x[i].max(5.0),
        };
        wished.min(0.5 * width)
    }

    /// Walks downhill from `x`; `limit` bounds the evaluations of each simplex.
    pub(crate) fn refine(&self, difference: &impl Fn(&[f64]) -> f64, mut x: Vec<f64>, limit: usize) -> (Vec<f64>, f64) {
        let free: Vec<usize> = (0..self.size()).filter(|i| !x[*i].is_nan()).collect();
        if free.len() > 1 {
            let bounds: Vec<(f64, f64)> = free.iter().map(|i| self.bounds[*i]).collect();
            let strides: Vec<f64> = free.iter().map(|i| self.stride(*i, &x)).collect();
            let template = x.clone();
            let spread_out = |v: &[f64]| {
                let mut y = template.clone();
                for (i, value) in free.iter().zip(v) {
                    y[*i] = *value;
                }
                y
            };
            let go = |from: &[f64], size: f64| {
                let steps: Vec<f64> = strides.iter().map(|s| s * size).collect();
                downhill(|v| difference(&spread_out(v)), from, &steps, &bounds, 1e-4, limit)
            };
            let start: Vec<f64> = free.iter().map(|i| x[*i]).collect();
            let mut found = go(&start, 1.0);
            if limit < REFINE_EVALUATIONS {
                return (spread_out(&found.at), found.value);
            }
            // A simplex that fell flat, in a narrow valley or on a bound, goes on when it is set up anew.
            for size in RESTARTS {
                let again = go(&found.at, size);
                if again.value < found.value {
                    found = again;
                }
            }
            x = spread_out(&found.at);
        }
        let (low, high) = self.bounds[self.top];
        let width = 1.5 * self.scan_step_nm();
        let line = |t: f64| {
            let mut y = x.clone();
            y[self.top] = t;
            difference(&y)
        };
        let (t, value) = least_on_line(line, (x[self.top] - width).max(low), (x[self.top] + width).min(high), 1e-4);
        x[self.top] = t;
        (x, value)
    }
}
