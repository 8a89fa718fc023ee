//! The shop's own runs alone, where no recipe or no table stands behind a film.

use super::answer::{Change, Next, ResponseJson, Slope};
use super::{Wanted, lab_of_witness};
use crate::engine::Engine;
use crate::json::lab_array;
use crate::matching::LAND_DELTA_E;
use crate::matching::odds::Luck;
use crate::response::{Foreseen, Response};
use crate::search::downhill;
use colour::{Lab, Xyz, ciede2000};
use library::{LOAD_SETTINGS, LoadRow, LoadsFile};
use std::collections::BTreeMap;

/// What a person reads and does not set.
const READ: [&str; 3] = ["ampere_hours", "cathode_v", "part_temperature_c"];
/// Samples of a chance.
const SAMPLES: u32 = 1_000;
/// Restarts of the search, from every run that was made.
const EVALUATIONS: usize = 400;
/// Scatter about the line from which on it is said that a line is too little (Lab).
const WIDE: f64 = 3.0;

/// What was learnt, and what to set next.
pub(super) fn response(engine: &Engine, log: &LoadsFile, wanted: &Wanted, white: Xyz) -> (ResponseJson, Option<Next>) {
    let rows: Vec<&LoadRow> = log.loads.iter().filter(|l| !l.witnesses.is_empty()).collect();
    let keys = moved(&rows);
    let runs: Vec<(Vec<f64>, [f64; 3])> = rows
        .iter()
        .map(|row| (keys.iter().map(|key| value(row, key).unwrap_or(f64::NAN)).collect(), mean(row)))
        .collect();
    let mut told = ResponseJson {
        settings: BTreeMap::new(),
        slopes: Vec::new(),
        scatter: [0.0; 3],
        runs: runs.len(),
        words: Vec::new(),
        refused: None,
    };
    if keys.is_empty() {
        told.refused =
            Some("no setting was changed between the loads: turn one at a time, a little either way".to_owned());
        return (told, None);
    }
    let response = match Response::learn(&runs) {
        Ok(response) => response,
        Err(e) => {
            told.refused = Some(format!("{e}; turned were: {}", keys.join(", ")));
            return (told, None);
        }
    };
    for (i, key) in keys.iter().enumerate() {
        told.settings.insert(key.clone(), response.span(i));
        let slopes: [(f64, f64); 3] = std::array::from_fn(|n| response.slope(n, i));
        told.slopes.push(Slope { setting: key.clone(), lab: slopes.map(|s| s.0), sd: slopes.map(|s| s.1) });
        told.words.push(format!(
            "{key}, each unit: L* {:+.2}, a* {:+.2}, b* {:+.2}; known from {} to {}",
            slopes[0].0,
            slopes[1].0,
            slopes[2].0,
            response.span(i)[0],
            response.span(i)[1]
        ));
    }
    told.scatter = std::array::from_fn(|n| response.scatter(n));
    told.words.push(format!(
        "runs scatter about the line by {:.1}, {:.1} and {:.1} on L*, a* and b*",
        told.scatter[0], told.scatter[1], told.scatter[2]
    ));
    if told.scatter.iter().any(|s| *s > WIDE) {
        told.words.push("a straight line is too little here: keep the runs nearer together".to_owned());
    }
    let next = next(engine, &keys, &runs, &response, wanted, white);
    (told, next)
}

/// Settings that differ between loads, and that every load names.
fn moved(rows: &[&LoadRow]) -> Vec<String> {
    let mut keys: Vec<String> = LOAD_SETTINGS.iter().filter(|k| !READ.contains(k)).map(|k| (*k).to_owned()).collect();
    let most = rows.iter().map(|r| r.seconds.len()).max().unwrap_or(0);
    keys.extend((0..most).map(|i| format!("seconds {}", i + 1)));
    keys.retain(|key| {
        let values: Vec<f64> = rows.iter().filter_map(|r| value(r, key)).collect();
        values.len() == rows.len() && values.iter().any(|v| (v - values[0]).abs() > 0.0)
    });
    keys
}

fn value(row: &LoadRow, key: &str) -> Option<f64> {
    if let Some(number) = key.strip_prefix("seconds ") {
        return number.parse::<usize>().ok().and_then(|n| row.seconds.get(n - 1).copied());
    }
    row.settings.iter().find(|(k, _)| *k == key).map(|(_, v)| *v)
}

fn mean(row: &LoadRow) -> [f64; 3] {
    #[expect(clippy::cast_precision_loss, reason = "a handful of witnesses")]
    let count = row.witnesses.len() as f64;
    let sum = |pick: fn(Lab) -> f64| row.witnesses.iter().map(|w| pick(lab_of_witness(w))).sum::<f64>() / count;
    [sum(|l| l.l), sum(|l| l.a), sum(|l| l.b)]
}

fn lab([l, a, b]: [f64; 3]) -> Lab {
    Lab { l, a, b }
}

fn next(
    engine: &Engine,
    keys: &[String],
    runs: &[(Vec<f64>, [f64; 3])],
    response: &Response<3>,
    wanted: &Wanted,
    white: Xyz,
) -> Option<Next> {
    let target = wanted.target.as_ref()?;
    let bounds: Vec<(f64, f64)> = (0..keys.len()).map(|i| response.span(i).into()).collect();
    let steps: Vec<f64> = bounds.iter().map(|(low, high)| 0.2 * (high - low)).collect();
    let off = |x: &[f64]| response.at(x).map_or(f64::INFINITY, |f| ciede2000(lab(f.mean), target.lab));
    let best = runs
        .iter()
        .map(|(start, _)| downhill(off, start, &steps, &bounds, 1e-4, EVALUATIONS))
        .min_by(|a, b| a.value.total_cmp(&b.value))?;
    let seen = response.at(&best.at)?;
    let last = runs.last()?;
    let share = |f: &Foreseen<3>| chance(f, wanted, target.lab);
    let set: Vec<Change> = keys
        .iter()
        .zip(best.at.iter().zip(&last.0))
        .filter(|(key, (to, from))| {
            let [low, high] = response.span(keys.iter().position(|k| k == *key).unwrap_or(0));
            (*to - *from).abs() > 0.01 * (high - low)
        })
        .map(|(key, (to, from))| Change {
            step: None,
            key: key.clone(),
            from: *from,
            to: *to,
            words: format!("{key} {to:.2} in place of {from:.2}"),
        })
        .collect();
    let colour = lab(seen.mean);
    let mut words =
        vec![format!("nearest to what is wanted, within the runs that were made: {:.1} (CIEDE2000)", best.value)];
    let at_edge: Vec<&str> = keys
        .iter()
        .zip(best.at.iter().zip(&bounds))
        .filter(|(_, (x, (low, high)))| (**x - low).min(high - **x) < 0.01 * (high - low))
        .map(|(key, _)| key.as_str())
        .collect();
    if !at_edge.is_empty() && best.value > 1.0 {
        words.push(format!(
            "{} stands at the end of what was tried: a run a little beyond would teach more; nothing is foretold there",
            at_edge.join(" and ")
        ));
    }
    Some(Next {
        set,
        lab: lab_array(colour),
        shown: engine.swatch_of(colour, white),
        delta_e: best.value,
        chance: share(&seen),
        chance_unchanged: response.at(&last.0).map(|f| share(&f)),
        words,
    })
}

/// Share of runs that land, by Student's t on each axis.
fn chance(seen: &Foreseen<3>, wanted: &Wanted, target: Lab) -> f64 {
    let mut luck = Luck::new();
    let landed = (0..SAMPLES)
        .filter(|_| {
            let colour = lab(std::array::from_fn(|i| seen.mean[i] + seen.scale[i] * student(&mut luck, seen.freedom)));
            match &wanted.limits {
                Some(limits) => limits.passes(colour),
                None => ciede2000(colour, target) <= LAND_DELTA_E,
            }
        })
        .count();
    #[expect(clippy::cast_precision_loss, reason = "a thousand")]
    let share = landed as f64 / f64::from(SAMPLES);
    share
}

/// A deviate of Student's t with a whole number of degrees of freedom.
fn student(luck: &mut Luck, freedom: f64) -> f64 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count of runs")]
    let count = freedom.round().max(1.0) as u32;
    let squares: f64 = (0..count).map(|_| luck.normal()).map(|z| z * z).sum();
    luck.normal() / (squares / f64::from(count)).sqrt()
}
