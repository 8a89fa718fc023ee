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

/// How thick the outermost film of a load came if nothing else changed, as a logarithm of its share, and one standard
/// deviation; `None` where something else explains the load better.
fn thickness(one: &One<'_>) -> Option<(f64, f64)> {
    let (mut same, mut sums) = (0.0, [0.0; 3]);
    for held in &one.verdict.held {
        match held.suspect.map(|s| one.kinds[s]) {
            None if held.id == "same" => same = held.probability,
            Some(Kind::Top) => {
                let (p, m, sd) = (held.probability, held.amount, held.sd);
                sums = [sums[0] + p, sums[1] + p * m, sums[2] + p * (sd * sd + m * m)];
            }
            _ => {}
        }
    }
    let mean = sums[1] / sums[0];
    (same + sums[0] >= NAMED && sums[0] > 0.0).then(|| (mean, (sums[2] / sums[0] - mean * mean).max(0.0).sqrt()))
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
    // A straight line whose level is what the reference itself strayed by.
    let (mut s0, mut sx, mut sxx, mut sy, mut sxy, mut count) = (0.0, 0.0, 0.0, 0.0, 0.0, 0);
    for (i, one) in weighed.loads.iter().enumerate().skip(first + 1) {
        let Some(one) = one else { continue };
        let Some((amount, sd)) = thickness(one) else { continue };
        let stray = scatter(&one.model);
        if count == 0 {
            s0 += 1.0 / (stray * stray + READING_SHARE * READING_SHARE);
        }
        let weight = 1.0 / (sd * sd + stray * stray + READING_SHARE * READING_SHARE);
        let x = at[i] - at[first];
        (s0, sx, sxx) = (s0 + weight, sx + weight * x, sxx + weight * x * x);
        (sy, sxy, count) = (sy + weight * amount, sxy + weight * x * amount, count + 1);
    }
    let determinant = s0 * sxx - sx * sx;
    let (share, sd) = ((s0 * sxy - sx * sy) / determinant, (s0 / determinant).max(0.0).sqrt());
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

/// What the next load would meet if nothing were changed: how likely, and what is otherwise than ordered.
struct Expected {
    probability: f64,
    gone: Gone,
    /// Scatter of the outermost film about it, as a logarithm.
    sd: f64,
    /// What no cause explained, as a shift of the colour.
    left: V3,
}

/// The next load goes like the last one: every cause that may be behind it stays until it is mended.
fn expected(last: &One<'_>, stray: f64, mended: Option<usize>) -> Vec<Expected> {
    last.verdict
        .held
        .iter()
        .map(|held| {
            let kind = held.suspect.map(|s| last.kinds[s]);
            let gone = match kind {
                // A rise shows above and below, not in the middle.
                None | Some(Kind::Rise) => Gone::default(),
                Some(Kind::Composition(step)) if mended == Some(step) => Gone::default(),
                Some(kind) => kind.change(held.amount),
            };
            let own = if kind == Some(Kind::Top) { held.sd } else { 0.0 };
            Expected {
                probability: held.probability,
                gone,
                sd: (own * own + stray * stray).sqrt(),
                left: if held.id == "unknown" { held.left } else { [0.0; 3] },
            }
        })
        .collect()
}

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
    let (stray, mut words, mut set) = (scatter(&last.model), Vec::new(), Vec::new());
    let is_reference = Some(number) == weighed.reference;
    let mut mended = None;
    if let Some((step, shift)) = named_composition(last).filter(|_| !is_reference && trend.is_none())
        && let Some(change) = flow(followed, log, number, step, shift, &mut words)
    {
        set.push(change);
        mended = Some(step);
    }
    let states = match trend {
        Some(trend) => {
            let (_, at) = along(log);
            let step = number.checked_sub(1).map_or(1.0, |before| at[number] - at[before]);
            let x = at[number] + step - at[weighed.reference?];
            let (top, own) = (trend.share * x, trend.sd * x);
            words.push(format!(
                "{}: the next load would get {:.0} % of what its shutter time ordered",
                trend.words,
                100.0 * libm::exp(top)
            ));
            let sd = (own * own + stray * stray).sqrt();
            vec![Expected { probability: 1.0, gone: Gone { top, ..Gone::default() }, sd, left: [0.0; 3] }]
        }
        // What the reference is off by was laid to the constants.
        None if is_reference => {
            vec![Expected { probability: 1.0, gone: Gone::default(), sd: stray, left: [0.0; 3] }]
        }
        None => {
            words.push("reckoned as if the next load went as the last one, each cause as likely as told above: mend the cause first where a check finds it".to_owned());
            expected(last, stray, mended)
        }
    };
    let mean = weighed.shift.mean;
    let colour = |state: &Expected, longer: f64| {
        let gone = Gone { top: state.gone.top + longer, ..state.gone };
        let lab = last.model.middle(gone)?;
        let [l, a, b]: V3 = std::array::from_fn(|i| mean[i] + state.left[i]);
        Some(Lab { l: lab.l + l, a: lab.a + a, b: lab.b + b })
    };
    let off = |longer: f64| -> f64 {
        states.iter().map(|s| s.probability * colour(s, longer).map_or(OUT, |lab| ciede2000(lab, target.lab))).sum()
    };
    let [low, high] = reach(followed, &last.model);
    if low > high {
        return None;
    }
    let step = (high - low) / f64::from(STEPS - 1);
    let at = |i: i32| low + step * f64::from(i);
    let scan: Vec<f64> = (0..STEPS).map(|i| off(at(i))).collect();
    let start = valleys(&scan).first().and_then(|i| i32::try_from(*i).ok()).map_or(0.0, at);
    let (longer, _) = least_on_line(off, (start - step).max(low), (start + step).min(high), 1e-4);
    let lands = |lab: Lab| match &wanted.limits {
        Some(limits) => limits.passes(lab),
        None => ciede2000(lab, target.lab) <= LAND_DELTA_E,
    };
    let draw = |states: &[Expected], longer: f64| -> f64 {
        states.iter().map(|s| s.probability * chance(&last.model, weighed.shift, s, longer, &lands)).sum()
    };
    let unmended = if mended.is_some() { expected(last, stray, None) } else { Vec::new() };
    let before = if mended.is_some() { &unmended } else { &states };
    let (mut chance_next, unchanged) = (draw(&states, longer), draw(before, 0.0));
    let mut longer = longer;
    if chance_next < unchanged + WORTH && mended.is_none() {
        // A setting that gains nothing beyond the noise is left alone.
        (longer, chance_next) = (0.0, unchanged);
    } else {
        set.extend(shutter(followed, log, number, longer));
    }
    let rpm = log.loads[number].settings.iter().find(|(k, _)| *k == "rpm").map(|(_, v)| *v);
    let rpm = rpm.or_else(|| coater(&followed.candidate)?.load.as_ref()?.rpm).filter(|rpm| *rpm > 0.0);
    if let Some((to, rpm)) = set.iter().find(|c| c.key == "seconds").map(|c| c.to).zip(rpm) {
        let turns = (to * rpm / 60.0).round();
        if turns >= 3.0 {
            words.push(format!("in whole turns of the table: {turns:.0} turns, {:.0} s", 60.0 * turns / rpm));
        }
    }
    if set.is_empty() {
        words.push("no setting told here gains more than the noise: change nothing but what a check finds".to_owned());
    } else if mended.is_none() {
        words.push("flows, current and bias stay as they are".to_owned());
    }
    if chance_next < HOPELESS {
        words.push(
            "nothing that this recipe can be set to brings it there: another recipe, or the cause, must be found"
                .to_owned(),
        );
    }
    let likeliest = states.iter().max_by(|a, b| a.probability.total_cmp(&b.probability))?;
    let lab = colour(likeliest, longer)?;
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
        delta_e: ciede2000(lab, target.lab),
        chance: chance_next,
        chance_unchanged: Some(unchanged),
        words,
    })
}

/// What a colour that cannot be reckoned counts as.
const OUT: f64 = 100.0;
/// A change is told when it gains more than this, which is what a chance of some hundred samples is sure to.
const WORTH: f64 = 0.05;
/// Below this chance it is said that nothing helps.
const HOPELESS: f64 = 0.02;

/// Logarithms by which the outermost film may be ordered thicker, that another order is not reached and the machine lays it.
fn reach(followed: &Followed, model: &Model<'_>) -> [f64; 2] {
    let nm = model.settings.last().map_or(0.0, |s| s.thickness_nm).max(1e-9);
    let allowed = followed.candidate.steps.last().and_then(|s| s.allowed_nm(0.0)).unwrap_or([0.0, f64::MAX]);
    [libm::log(allowed[0].max(1e-9) / nm).max(-REACH), libm::log(allowed[1] / nm).min(REACH)]
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

/// Share of runs that land when the next load goes so, with the outermost film ordered `longer` (a logarithm).
fn chance(model: &Model<'_>, shift: Shift, state: &Expected, longer: f64, lands: &dyn Fn(Lab) -> bool) -> f64 {
    if state.probability < UNLIKELY {
        return 0.0;
    }
    // The colour of a thickness is read from a table: a chance needs hundreds of them.
    let count = 61;
    let at =
        |i: i32| state.gone.top + longer + 4.0 * state.sd.max(1e-6) * (2.0 * f64::from(i) / f64::from(count - 1) - 1.0);
    let table: Vec<Option<Lab>> = (0..count).map(|i| model.middle(Gone { top: at(i), ..state.gone })).collect();
    let root = root(&shift);
    let mut luck = Luck::new();
    let landed = (0..SAMPLES).filter(|_| {
        let z = luck.normal().clamp(-3.9, 3.9);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the table")]
        let i = ((z / 4.0 + 1.0) * 0.5 * f64::from(count - 1)).round() as usize;
        let noise: V3 = std::array::from_fn(|_| luck.normal());
        let off: V3 = std::array::from_fn(|i| {
            shift.mean[i]
                + state.left[i]
                + root[i].iter().zip(&noise).map(|(r, n)| r * n).sum::<f64>()
                + READING_SD * luck.normal()
        });
        table[i].is_some_and(|lab| lands(Lab { l: lab.l + off[0], a: lab.a + off[1], b: lab.b + off[2] }))
    });
    #[expect(clippy::cast_precision_loss, reason = "some hundreds")]
    let share = landed.count() as f64 / SAMPLES as f64;
    share
}

/// States less likely than this are not worth their reckoning.
const UNLIKELY: f64 = 0.005;

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
