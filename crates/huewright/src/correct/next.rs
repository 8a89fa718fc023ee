//! What drifts from load to load, and what to set next.

use super::answer::{Change, Next, Trend};
use super::causes::{READING_SD, Shift, V3};
use super::model::{Change as Gone, Model, coater};
use super::{Kind, One, Wanted, Weighed};
use crate::engine::Engine;
use crate::finish::Eye;
use crate::json::lab_array;
use crate::matching::LAND_DELTA_E;
use crate::matching::odds::Luck;
use crate::matching::step::Step;
use crate::plan::Followed;
use crate::search::{least_on_line, valleys};
use colour::{Lab, ciede2000};
use library::LoadsFile;

/// A drift is told when it is this many times its own doubt.
const CERTAIN: f64 = 2.0;
/// Thicknesses that a correction may choose from, as logarithms of their share: another order is another finish.
const REACH: f64 = 0.35;
const STEPS: i32 = 57;
/// Samples of a chance.
const SAMPLES: usize = 400;
/// A cause this likely is corrected for.
const NAMED: f64 = 0.5;
/// Shutter times closer than this are the same, as a share.
const SAME_TIME: f64 = 0.005;

/// How thick the outermost film of a load came, as a logarithm of its share, and one standard deviation; `None` where
/// something else explains the load.
fn thickness(one: &One<'_>, scatter: f64) -> Option<(f64, f64)> {
    let mut sums = [0.0; 3];
    for held in &one.verdict.held {
        let (mean, sd) = match held.suspect.map(|s| one.kinds[s]) {
            None if held.id == "same" => (0.0, scatter),
            Some(Kind::Top) => (held.amount, held.sd),
            _ => continue,
        };
        let p = held.probability;
        sums = [sums[0] + p, sums[1] + p * mean, sums[2] + p * (sd * sd + mean * mean)];
    }
    let mean = sums[1] / sums[0];
    (sums[0] >= NAMED).then(|| (mean, (sums[2] / sums[0] - mean * mean).max(0.0).sqrt()))
}

/// Relative scatter of the outermost film from load to load.
fn scatter(model: &Model<'_>) -> f64 {
    match model.candidate.steps.last() {
        Some(Step::Lay { deposit, .. }) => {
            let nm = model.settings.last().map_or(1.0, |s| s.thickness_nm).max(1e-9);
            let own = deposit.repeatability_nm / nm;
            (deposit.repeatability * deposit.repeatability + own * own).sqrt()
        }
        _ => 0.0,
    }
}

/// The hours of a load's target, or its number.
fn along(log: &LoadsFile) -> (&'static str, Vec<f64>) {
    let hours: Option<Vec<f64>> =
        log.loads.iter().map(|l| l.settings.iter().find(|(k, _)| *k == "ampere_hours").map(|(_, v)| *v)).collect();
    match hours.filter(|h| h.windows(2).all(|w| w[1] > w[0])) {
        Some(hours) => ("ampere_hours", hours.iter().map(|h| h / 100.0).collect()),
        #[expect(clippy::cast_precision_loss, reason = "at most 500 loads")]
        None => ("loads", (0..log.loads.len()).map(|i| i as f64).collect()),
    }
}

/// The drift of the thickness since the reference, where it is surer than chance.
pub(super) fn trend(log: &LoadsFile, weighed: &Weighed<'_>) -> Option<Trend> {
    let first = weighed.reference?;
    let (against, at) = along(log);
    let (mut xx, mut xy, mut count) = (0.0, 0.0, 0);
    for (i, one) in weighed.loads.iter().enumerate().skip(first + 1) {
        let Some(one) = one else { continue };
        let stray = scatter(&one.model);
        let Some((amount, sd)) = thickness(one, stray) else { continue };
        // The reference strayed as well.
        let weight = 1.0 / (sd * sd + stray * stray + READING_SHARE * READING_SHARE);
        let x = at[i] - at[first];
        (xx, xy, count) = (xx + weight * x * x, xy + weight * x * amount, count + 1);
    }
    let (share, sd) = (xy / xx, 1.0 / xx.sqrt());
    (count >= 2 && share.abs() > CERTAIN * sd).then(|| Trend {
        against,
        share,
        sd,
        words: format!(
            "the film on top gets {} by {:.1} +- {:.1} % {}",
            if share < 0.0 { "thinner" } else { "thicker" },
            100.0 * share.abs(),
            100.0 * sd,
            if against == "loads" { "from load to load" } else { "for each 100 Ah of the target" }
        ),
    })
}

/// What a thickness read back from one load is never surer than.
const READING_SHARE: f64 = 0.01;

/// Settings for the next load.
pub(super) fn next(
    engine: &Engine,
    eye: &Eye<'_>,
    followed: &Followed,
    log: &LoadsFile,
    weighed: &Weighed<'_>,
    trend: Option<&Trend>,
    wanted: &Wanted,
) -> Option<Next> {
    let target = wanted.target.as_ref()?;
    let (number, last) = weighed.loads.iter().enumerate().rev().find_map(|(i, one)| Some((i, one.as_ref()?)))?;
    let stray = scatter(&last.model);
    let (mut factor, mut sd, mut words) = (0.0, stray, Vec::new());
    if let Some(trend) = trend {
        let (_, at) = along(log);
        let step = number.checked_sub(1).map_or(1.0, |before| at[number] - at[before]);
        let x = at[number] + step - at[weighed.reference?];
        (factor, sd) = (trend.share * x, trend.sd * x);
        words.push(format!(
            "{}: the next load would get {:.0} % of what its shutter time ordered",
            trend.words,
            100.0 * libm::exp(factor)
        ));
    } else if let Some((amount, doubt)) = thickness(last, stray).filter(|_| Some(number) != weighed.reference) {
        (factor, sd) = (amount, doubt);
        words.push(format!(
            "as in the last load, the next would get {:.0} % of what its shutter time ordered; one more load shows whether it drifts on",
            100.0 * libm::exp(amount)
        ));
    }
    let composition = named_composition(last);
    let mean = weighed.shift.mean;
    let shifted = |lab: Lab| Lab { l: lab.l + mean[0], a: lab.a + mean[1], b: lab.b + mean[2] };
    // What is ordered is ordered for a machine that lays so much of it; the composition is brought back.
    let colour = |ordered: f64| last.model.middle(Gone { top: ordered, ..Gone::default() }).map(shifted);
    let off = |ordered: f64| colour(ordered).map_or(f64::INFINITY, |lab| ciede2000(lab, target.lab));
    let at = |i: i32| REACH * (2.0 * f64::from(i) / f64::from(STEPS - 1) - 1.0);
    let scan: Vec<f64> = (0..STEPS).map(|i| off(at(i))).collect();
    let start = valleys(&scan).first().and_then(|i| i32::try_from(*i).ok()).map_or(0.0, at);
    let step = 2.0 * REACH / f64::from(STEPS - 1);
    let (film, delta_e) = least_on_line(off, (start - step).max(-REACH), (start + step).min(REACH), 1e-4);
    let lab = colour(film)?;
    let mut set = Vec::new();
    set.extend(shutter(followed, log, number, film - factor));
    match composition {
        Some((step, shift)) => set.extend(flow(followed, log, number, step, shift, &mut words)),
        None => words.push("flows, current and bias stay as they are".to_owned()),
    }
    if set.is_empty() {
        words.push("nothing is to be changed".to_owned());
    }
    let rpm = log.loads[number].settings.iter().find(|(k, _)| *k == "rpm").map(|(_, v)| *v);
    let rpm = rpm.or_else(|| coater(&followed.candidate)?.load.as_ref()?.rpm).filter(|rpm| *rpm > 0.0);
    if let Some((to, rpm)) = set.iter().find(|c| c.key == "seconds").map(|c| c.to).zip(rpm) {
        let turns = (to * rpm / 60.0).round().max(1.0);
        words.push(format!("in whole turns of the table: {turns:.0} turns, {:.0} s", 60.0 * turns / rpm));
    }
    let lands = |lab: Lab| match &wanted.limits {
        Some(limits) => limits.passes(lab),
        None => ciede2000(lab, target.lab) <= LAND_DELTA_E,
    };
    let run = (sd * sd + stray * stray).sqrt();
    let draw = |middle: f64| chance(&last.model, weighed.shift, (middle, run), &lands);
    let (chance_next, unchanged) = (draw(film), draw(factor));
    words.push(format!(
        "a part in the middle {} with a chance of {:.0} %{}",
        if wanted.limits.is_some() { "passes" } else { "comes within 5 (CIEDE2000)" },
        100.0 * chance_next,
        if set.is_empty() {
            String::new()
        } else {
            format!("; with the settings of the last load {:.0} %", 100.0 * unchanged)
        }
    ));
    Some(Next {
        set,
        lab: lab_array(lab),
        shown: engine.swatch_of(lab, eye.viewing().white()),
        delta_e,
        chance: chance_next,
        chance_unchanged: Some(unchanged),
        words,
    })
}

/// The composition that the last load is likely to have missed by.
fn named_composition(one: &One<'_>) -> Option<(usize, f64)> {
    let best = one.verdict.held.first().filter(|h| h.probability >= NAMED)?;
    match one.kinds[best.suspect?] {
        Kind::Composition(step) => Some((step, best.amount)),
        _ => None,
    }
}

/// The shutter time of the outermost film, `by` a logarithm longer.
fn shutter(followed: &Followed, log: &LoadsFile, number: usize, by: f64) -> Option<Change> {
    let index = followed.candidate.steps.len().checked_sub(1)?;
    let Step::Lay { deposit, .. } = &followed.candidate.steps[index] else { return None };
    let ordered = deposit.seconds(followed.settings[index].thickness_nm);
    let from = log.loads[number].seconds.last().copied().or(ordered)?;
    let to = (from * libm::exp(by)).round();
    (((to - from) / from).abs() > SAME_TIME).then(|| Change {
        step: Some(followed.numbers[index]),
        key: "seconds".to_owned(),
        from,
        to,
        words: format!("step {}: shutter {to:.0} s in place of {from:.0} s", followed.numbers[index]),
    })
}

/// The flow that brings a composition back by `shift`.
fn flow(
    followed: &Followed,
    log: &LoadsFile,
    number: usize,
    index: usize,
    shift: f64,
    words: &mut Vec<String>,
) -> Option<Change> {
    let Step::Lay { flow, film, .. } = &followed.candidate.steps[index] else { return None };
    let Some(map) = flow else {
        words.push(format!(
            "the composition of {} is off by {shift:+.2} of its slider, and no flow of this shop is known to set it: see the checks",
            film.material
        ));
        return None;
    };
    let key = format!("{}_sccm", map.gas);
    let from = log.loads[number].settings.iter().find(|(k, _)| *k == key).map(|(_, v)| *v)?;
    let to = from - shift / map.slope();
    let [low, high] = map.range_sccm;
    if to < low || to > high {
        words.push(format!(
            "{key} = {to:.1} would bring {} back; the shop's colours lie between {low} and {high} sccm, and beyond them nothing is foretold: look for the cause first",
            film.material
        ));
        return None;
    }
    Some(Change { step: None, words: format!("{key} {to:.1} in place of {from:.1}"), key, from, to })
}

/// Share of runs that land, whose outermost film is `middle` times as thick (a logarithm) and strays by `sd`.
fn chance(model: &Model<'_>, shift: Shift, (middle, sd): (f64, f64), lands: &dyn Fn(Lab) -> bool) -> f64 {
    // The colour of a thickness is read from a table: a chance needs hundreds of them.
    let count = 61;
    let at = |i: i32| middle + 4.0 * sd.max(1e-6) * (2.0 * f64::from(i) / f64::from(count - 1) - 1.0);
    let table: Vec<Option<Lab>> = (0..count).map(|i| model.middle(Gone { top: at(i), ..Gone::default() })).collect();
    let root = root(&shift);
    let mut luck = Luck::new();
    let landed = (0..SAMPLES).filter(|_| {
        let z = luck.normal().clamp(-3.9, 3.9);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the table")]
        let i = ((z / 4.0 + 1.0) * 0.5 * f64::from(count - 1)).round() as usize;
        let noise: V3 = std::array::from_fn(|_| luck.normal());
        let reading: V3 = std::array::from_fn(|_| READING_SD * luck.normal());
        let off: V3 = std::array::from_fn(|i| {
            shift.mean[i] + root[i].iter().zip(&noise).map(|(r, n)| r * n).sum::<f64>() + reading[i]
        });
        table[i].is_some_and(|lab| lands(Lab { l: lab.l + off[0], a: lab.a + off[1], b: lab.b + off[2] }))
    });
    #[expect(clippy::cast_precision_loss, reason = "some hundreds")]
    let share = landed.count() as f64 / SAMPLES as f64;
    share
}

/// The lower triangle whose product with its transpose is the covariance (Cholesky).
fn root(shift: &Shift) -> [V3; 3] {
    let m = &shift.covariance;
    let mut l = [[0.0; 3]; 3];
    for i in 0..3 {
        for j in 0..=i {
            let sum: f64 = (0..j).map(|k| l[i][k] * l[j][k]).sum();
            l[i][j] = if i == j {
                (m[i][i] - sum).max(0.0).sqrt()
            } else if l[j][j] > 0.0 {
                (m[i][j] - sum) / l[j][j]
            } else {
                0.0
            };
        }
    }
    l
}
