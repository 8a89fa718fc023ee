//! Which cause explains best what a load's witnesses show, by evidence.
//!
//! Every cause moves the colours of the witnesses in its own direction, by an amount that is integrated out; what the
//! published constants are off by is one shift of all colours, the same for every load, and is learnt from the first
//! load. Causes are compared by the probability that each gives to the readings (D. J. C. MacKay, Neural Comput.
//! 4, 415, 1992), from the odds below, equal for every cause and sign; where two explain alike, both stand.

use crate::response::{inverse, square};
use colour::Lab;

/// What one reading of a witness strays by, Lab, each axis: the instrument and where it was held. Own judgement.
pub(super) const READING_SD: f64 = 0.5;
/// How far the modelled effect of a cause may itself be off, as a share of it. Own judgement.
const EFFECT_DOUBT: f64 = 0.25;
/// What a cause that nobody thought of moves a colour by, Lab, each axis: as often a little as anywhere at all, or else a
/// colour that nothing here makes is laid to whatever moves it furthest. Own judgement.
const UNKNOWN_SD: [f64; 2] = [10.0, 40.0];
/// Odds before anything is read: as before, something unknown; what is left is shared by the causes. Own judgement.
const ODDS_SAME: f64 = 0.4;
const ODDS_UNKNOWN: f64 = 0.05;
/// Points over which an amount is integrated, within four standard deviations.
const POINTS: i32 = 81;

/// A three-number colour.
pub(super) type V3 = [f64; 3];
/// A covariance.
pub(super) type M3 = [[f64; 3]; 3];

/// A Gaussian belief about a colour shift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shift {
    pub(super) mean: V3,
    pub(super) covariance: M3,
}

/// A cause with an amount: what the witnesses would show, and how large amounts usually are.
pub(super) struct Suspect<'s> {
    /// Ids, as data/causes.toml has them, for an amount below and above zero; `None` where there is no such amount.
    pub(super) ids: [Option<&'s str>; 2],
    /// Standard deviation of the amount.
    pub(super) usual: f64,
    /// Colours of the witnesses for an amount, as foretold.
    pub(super) shows: &'s dyn Fn(f64) -> Option<Vec<Lab>>,
}

/// What is held of one cause after the reading.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Held {
    /// Its id.
    pub(super) id: String,
    /// Which suspect, where it is one.
    pub(super) suspect: Option<usize>,
    /// Probability.
    pub(super) probability: f64,
    /// Amount, mean and standard deviation.
    pub(super) amount: f64,
    pub(super) sd: f64,
    /// What the best amount leaves unexplained, as a shift of the mean colour.
    pub(super) left: V3,
}

/// What is held of a load.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Verdict {
    /// Most probable first: `same`, `unknown` and the causes.
    pub(super) held: Vec<Held>,
}

/// What one reading of a load says.
pub(super) struct Reading<'r> {
    /// Colours of the witnesses.
    pub(super) seen: &'r [Lab],
    /// What is known of the common shift from the constants and earlier loads.
    pub(super) shift: Shift,
    /// How a load strays anyhow: covariance of its colour from the machine's own repeatability.
    pub(super) scatter: M3,
    /// How one witness strays from the others: covariance from the reading and from its place.
    pub(super) each: M3,
}

impl Reading<'_> {
    /// Weighs the causes. `same` is what the witnesses should show.
    pub(super) fn weigh(&self, same: &[Lab], suspects: &[Suspect<'_>]) -> Verdict {
        let mut found: Vec<(Held, f64)> = Vec::new();
        let (fit, left) = self.likelihood(same, &[[0.0; 3]; 3], 0.0);
        let known =
            |id: &str, left| Held { id: id.to_owned(), suspect: None, probability: 0.0, amount: 0.0, sd: 0.0, left };
        found.push((known("same", left), libm::log(ODDS_SAME) + fit));
        // What nobody thought of moves all witnesses alike, or each by itself.
        let [near, far] = UNKNOWN_SD.map(|sd| self.likelihood(same, &diagonal(sd * sd), 0.0).0);
        let wide = square(UNKNOWN_SD[0]);
        let each = self.likelihood(same, &diagonal(wide), wide).0;
        let most = near.max(far).max(each);
        let either = most + libm::log((libm::exp(near - most) + libm::exp(far - most) + libm::exp(each - most)) / 3.0);
        found.push((known("unknown", left), libm::log(ODDS_UNKNOWN) + either));
        let sides = suspects.iter().flat_map(|s| s.ids).flatten().count();
        #[expect(clippy::cast_precision_loss, reason = "a handful of causes, with two signs each")]
        let each = (1.0 - ODDS_SAME - ODDS_UNKNOWN) / sides.max(1) as f64;
        for (number, suspect) in suspects.iter().enumerate() {
            for (side, id) in suspect.ids.iter().enumerate().filter_map(|(side, id)| Some((side, (*id)?))) {
                if let Some((held, evidence)) = self.integrate(same, suspect, side) {
                    found.push((Held { id: id.to_owned(), suspect: Some(number), ..held }, libm::log(each) + evidence));
                }
            }
        }
        let most = found.iter().map(|f| f.1).fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = found.iter().map(|f| libm::exp(f.1 - most)).sum();
        let mut held: Vec<Held> =
            found.into_iter().map(|(held, log)| Held { probability: libm::exp(log - most) / sum, ..held }).collect();
        held.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        // Both signs of one cause are one cause; the likelier sign tells its amount.
        let mut merged: Vec<Held> = Vec::new();
        for h in held {
            match merged.iter_mut().find(|m| m.id == h.id) {
                Some(m) => m.probability += h.probability,
                None => merged.push(h),
            }
        }
        merged.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        Verdict { held: merged }
    }

    /// One sign of one cause: amounts of half a normal distribution.
    fn integrate(&self, same: &[Lab], suspect: &Suspect<'_>, side: usize) -> Option<(Held, f64)> {
        let sign = if side == 0 { -1.0 } else { 1.0 };
        let mut points = Vec::new();
        for i in 0..POINTS {
            let z = 4.0 * (f64::from(i) + 0.5) / f64::from(POINTS);
            let amount = sign * z * suspect.usual;
            let Some(shows) = (suspect.shows)(amount) else { continue };
            let effects: Vec<V3> = shows.iter().zip(same).map(|(a, b)| minus(*a, *b)).collect();
            let effect = mean_of(&effects);
            // Of what it does to all witnesses alike, and of what it does to them apart.
            let doubt = |e: V3| e.map(|e| square(EFFECT_DOUBT * e)).iter().sum::<f64>() / 3.0;
            let apart: Vec<f64> = effects.iter().map(|e| doubt(std::array::from_fn(|i| e[i] - effect[i]))).collect();
            #[expect(clippy::cast_precision_loss, reason = "a handful of witnesses")]
            let apart = apart.iter().sum::<f64>() / apart.len() as f64;
            let (fit, left) = self.likelihood(&shows, &diagonal(doubt(effect)), apart);
            points.push((amount, fit - 0.5 * z * z, left));
        }
        let best = points.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let (most, left) = (best.1, best.2);
        let weights: Vec<f64> = points.iter().map(|p| libm::exp(p.1 - most)).collect();
        let sum: f64 = weights.iter().sum();
        let amount = points.iter().zip(&weights).map(|(p, w)| p.0 * w).sum::<f64>() / sum;
        let variance = points.iter().zip(&weights).map(|(p, w)| square(p.0 - amount) * w).sum::<f64>() / sum;
        // An effect that is modelled too strong or too weak throughout makes the amount too small or too large as much.
        let variance = variance + square(EFFECT_DOUBT * amount);
        // Half a normal distribution, in steps of 4/POINTS of its standard deviation: density 2/sqrt(2 pi).
        let step = 4.0 / f64::from(POINTS);
        let evidence = most + libm::log(sum * step * 2.0 / (std::f64::consts::TAU).sqrt());
        Some((Held { id: String::new(), suspect: None, probability: 0.0, amount, sd: variance.sqrt(), left }, evidence))
    }

    /// Logarithm of the probability density of the readings when they should show `shows`, with `doubt` added to the
    /// common shift and the variance `apart` to each witness; and the mean shift that is left.
    fn likelihood(&self, shows: &[Lab], doubt: &M3, apart: f64) -> (f64, V3) {
        let off: Vec<V3> = self.seen.iter().zip(shows).map(|(seen, should)| minus(*seen, *should)).collect();
        let mean = mean_of(&off);
        let each = add(&self.each, &diagonal(apart));
        let within: f64 = off.iter().map(|o| quadratic(&each, std::array::from_fn(|i| o[i] - mean[i]))).sum();
        let common = add(&add(&self.shift.covariance, &self.scatter), &add(doubt, &self.of_mean()));
        let left: V3 = std::array::from_fn(|i| mean[i] - self.shift.mean[i]);
        #[expect(clippy::cast_precision_loss, reason = "a handful of witnesses")]
        let apart = (off.len() as f64 - 1.0) * libm::log(determinant(&each));
        // What depends on the number of witnesses alone is the same for every cause.
        (-0.5 * (within + apart + quadratic(&common, left) + libm::log(determinant(&common))), left)
    }

    /// Covariance of the mean of the witnesses.
    fn of_mean(&self) -> M3 {
        #[expect(clippy::cast_precision_loss, reason = "a handful of witnesses")]
        let count = self.seen.len() as f64;
        self.each.map(|row| row.map(|v| v / count))
    }

    /// How far the witnesses lie from what they should show, against all that is in doubt: square of the distance, in
    /// standard deviations; three degrees of freedom.
    pub(super) fn distance(&self, same: &[Lab]) -> f64 {
        let off: Vec<V3> = self.seen.iter().zip(same).map(|(seen, should)| minus(*seen, *should)).collect();
        let mean = mean_of(&off);
        let common = add(&add(&self.shift.covariance, &self.scatter), &self.of_mean());
        quadratic(&common, std::array::from_fn(|i| mean[i] - self.shift.mean[i]))
    }

    /// The common shift, when the load is taken to have gone as foretold.
    pub(super) fn learnt(&self, same: &[Lab]) -> Shift {
        let off: Vec<V3> = self.seen.iter().zip(same).map(|(seen, should)| minus(*seen, *should)).collect();
        let mean = mean_of(&off);
        let noise = add(&self.scatter, &self.of_mean());
        let gain = multiply(&self.shift.covariance, &inverted(&add(&self.shift.covariance, &noise)));
        let off: V3 = std::array::from_fn(|i| mean[i] - self.shift.mean[i]);
        let moved = apply(&gain, off);
        let kept = multiply(&gain, &self.shift.covariance);
        Shift {
            mean: std::array::from_fn(|i| self.shift.mean[i] + moved[i]),
            covariance: std::array::from_fn(|i| std::array::from_fn(|j| self.shift.covariance[i][j] - kept[i][j])),
        }
    }
}

pub(super) fn minus(a: Lab, b: Lab) -> V3 {
    [a.l - b.l, a.a - b.a, a.b - b.b]
}

pub(super) fn mean_of(list: &[V3]) -> V3 {
    #[expect(clippy::cast_precision_loss, reason = "short lists")]
    let count = list.len().max(1) as f64;
    std::array::from_fn(|i| list.iter().map(|v| v[i]).sum::<f64>() / count)
}

pub(super) fn diagonal(value: f64) -> M3 {
    std::array::from_fn(|i| std::array::from_fn(|j| if i == j { value } else { 0.0 }))
}

pub(super) fn add(a: &M3, b: &M3) -> M3 {
    std::array::from_fn(|i| std::array::from_fn(|j| a[i][j] + b[i][j]))
}

/// Covariance of samples about their own mean, or about `about`.
pub(super) fn covariance(samples: &[V3], about: V3) -> M3 {
    #[expect(clippy::cast_precision_loss, reason = "some hundreds")]
    let count = samples.len().max(1) as f64;
    std::array::from_fn(|i| {
        std::array::from_fn(|j| samples.iter().map(|s| (s[i] - about[i]) * (s[j] - about[j])).sum::<f64>() / count)
    })
}

fn inverted(m: &M3) -> M3 {
    let flat = inverse(m.as_flattened(), 3);
    std::array::from_fn(|i| std::array::from_fn(|j| flat[3 * i + j]))
}

fn multiply(a: &M3, b: &M3) -> M3 {
    std::array::from_fn(|i| std::array::from_fn(|j| (0..3).map(|k| a[i][k] * b[k][j]).sum()))
}

fn apply(m: &M3, v: V3) -> V3 {
    m.map(|row| row.iter().zip(&v).map(|(a, b)| a * b).sum())
}

fn quadratic(m: &M3, v: V3) -> f64 {
    apply(&inverted(m), v).iter().zip(&v).map(|(a, b)| a * b).sum()
}

fn determinant(m: &M3) -> f64 {
    m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
        + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lab(l: f64, a: f64, b: f64) -> Lab {
        Lab { l, a, b }
    }

    /// A machine whose thickness moves L* and whose gas moves b*, a little along L* too.
    fn weigh(seen: &[Lab]) -> Verdict {
        let same = vec![lab(40.0, 0.0, -30.0); seen.len()];
        let count = seen.len();
        let thick = move |t: f64| Some(vec![lab(40.0 - 60.0 * t, 0.0, -30.0); count]);
        let gas = move |g: f64| Some(vec![lab(40.0 + 10.0 * g, 0.0, -30.0 + 60.0 * g); count]);
        let suspects = [
            Suspect { ids: [Some("thin"), Some("thick")], usual: 0.1, shows: &thick },
            Suspect { ids: [Some("poor"), Some("rich")], usual: 0.1, shows: &gas },
        ];
        let shift = Shift { mean: [0.0; 3], covariance: diagonal(0.2) };
        Reading { seen, shift, scatter: diagonal(0.3), each: diagonal(READING_SD * READING_SD) }.weigh(&same, &suspects)
    }

    #[test]
    fn each_cause_is_known_by_its_direction() {
        let thin = weigh(&[lab(46.0, 0.1, -30.2), lab(46.3, -0.2, -29.8)]);
        assert_eq!(thin.held[0].id, "thin");
        assert!(thin.held[0].probability > 0.9 && (thin.held[0].amount + 0.1).abs() < 0.02, "{thin:?}");
        assert_eq!(weigh(&[lab(41.0, 0.0, -24.0)]).held[0].id, "rich");
        assert_eq!(weigh(&[lab(40.3, 0.2, -30.2)]).held[0].id, "same");
        // A direction in which nothing known leads.
        assert_eq!(weigh(&[lab(40.0, 15.0, -30.0)]).held[0].id, "unknown");
        let sum: f64 = thin.held.iter().map(|h| h.probability).sum();
        assert!((sum - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_shift_in_doubt_hides_a_cause() {
        // The same reading, when nobody knows how far the constants are off: nothing is told with certainty.
        let same = vec![lab(40.0, 0.0, -30.0)];
        let thick = |t: f64| Some(vec![lab(40.0 - 60.0 * t, 0.0, -30.0)]);
        let suspects = [Suspect { ids: [Some("thin"), Some("thick")], usual: 0.1, shows: &thick }];
        let shift = Shift { mean: [0.0; 3], covariance: diagonal(100.0) };
        let seen = [lab(46.0, 0.0, -30.0)];
        let verdict = Reading { seen: &seen, shift, scatter: diagonal(0.3), each: diagonal(READING_SD * READING_SD) }
            .weigh(&same, &suspects);
        assert!(verdict.held.iter().all(|h| h.probability < 0.75), "{verdict:?}");
    }

    #[test]
    fn a_load_that_went_well_teaches_the_shift() {
        let shift = Shift { mean: [0.0; 3], covariance: diagonal(64.0) };
        let seen = [lab(43.0, 2.0, -28.0)];
        let learnt = Reading { seen: &seen, shift, scatter: diagonal(0.5), each: diagonal(READING_SD * READING_SD) }
            .learnt(&[lab(40.0, 0.0, -30.0)]);
        assert!((learnt.mean[0] - 3.0).abs() < 0.1 && learnt.covariance[0][0] < 0.8, "{learnt:?}");
        assert!((learnt.covariance[0][1]).abs() < 1e-12);
    }
}
