//! A course through time in columns, with its colours, and the colours in the order in which they are passed.

use super::answer::{Passed, Trace};
use super::work::Work;
use crate::error::Fault;
use library::{FinishFile, MediumAbove};

/// Most moments that are told.
const MOST: usize = 220;

/// One moment of any route.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Row {
    pub(super) time_s: f64,
    pub(super) thickness_nm: f64,
    pub(super) voltage_v: Option<f64>,
    pub(super) current_a: Option<f64>,
    pub(super) charge_c: Option<f64>,
    pub(super) temperature_c: Option<f64>,
}

/// Rows between which the film grows more than this are filled in, nm, so that no colour is skipped.
const FINE_NM: f64 = 1.0;

/// Rows with straight lines between them divided finely.
fn filled(rows: &[Row]) -> Vec<Row> {
    let mut dense: Vec<Row> = rows.first().copied().into_iter().collect();
    for w in rows.windows(2) {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some hundreds of nanometres")]
        let parts = ((w[1].thickness_nm - w[0].thickness_nm).abs() / FINE_NM).ceil().clamp(1.0, 1_000.0) as u32;
        for i in 1..=parts {
            let share = f64::from(i) / f64::from(parts);
            let mix = |a: f64, b: f64| a + share * (b - a);
            let both = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| mix(a, b));
            dense.push(Row {
                time_s: mix(w[0].time_s, w[1].time_s),
                thickness_nm: mix(w[0].thickness_nm, w[1].thickness_nm),
                voltage_v: both(w[0].voltage_v, w[1].voltage_v),
                current_a: both(w[0].current_a, w[1].current_a),
                charge_c: both(w[0].charge_c, w[1].charge_c),
                temperature_c: both(w[0].temperature_c, w[1].temperature_c),
            });
        }
    }
    dense
}

/// The moments that are worth telling: even in time and in thickness together, first and last kept.
fn thinned(rows: &[Row]) -> Vec<Row> {
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return Vec::new() };
    let time = (last.time_s - first.time_s).max(f64::MIN_POSITIVE);
    let grown = rows.windows(2).map(|w| (w[1].thickness_nm - w[0].thickness_nm).abs()).sum::<f64>().max(1e-9);
    let mut kept = vec![*first];
    let (mut way, mut due) = (0.0, 0.0);
    for w in rows.windows(2) {
        way += (w[1].time_s - w[0].time_s) / time + (w[1].thickness_nm - w[0].thickness_nm).abs() / grown;
        #[expect(clippy::cast_precision_loss, reason = "some hundreds")]
        let step = 2.0 / MOST as f64;
        if way >= due + step {
            kept.push(w[1]);
            due = way;
        }
    }
    if kept.last() != Some(last) {
        kept.push(*last);
    }
    kept
}

/// The columns; the outermost film of `finish` is what grows.
pub(super) fn trace(work: &Work<'_>, finish: &FinishFile, rows: &[Row]) -> Result<Trace, Fault> {
    let rows = thinned(&filled(rows));
    let thickness_nm: Vec<f64> = rows.iter().map(|r| r.thickness_nm).collect();
    let (dry, name) = colours(work, finish, &thickness_nm)?;
    // Nothing is under water in an oven.
    let wet = if rows.iter().all(|r| r.voltage_v.is_some()) {
        colours(work, &FinishFile { medium: MediumAbove::Water, ..finish.clone() }, &thickness_nm)?.0
    } else {
        Vec::new()
    };
    let column = |get: fn(&Row) -> Option<f64>| rows.iter().filter_map(get).collect();
    Ok(Trace {
        time_s: rows.iter().map(|r| r.time_s).collect(),
        voltage_v: column(|r| r.voltage_v),
        current_a: column(|r| r.current_a),
        charge_c: column(|r| r.charge_c),
        temperature_c: column(|r| r.temperature_c),
        thickness_nm,
        dry,
        wet,
        name,
    })
}

fn colours(work: &Work<'_>, finish: &FinishFile, thickness_nm: &[f64]) -> Result<(Vec<String>, Vec<String>), Fault> {
    if finish.films.is_empty() {
        return Ok((Vec::new(), Vec::new()));
    }
    let built = work.engine.build(finish)?;
    let seen = work.eye.see_turned(&built, finish.films.len() - 1, thickness_nm)?;
    Ok(seen
        .iter()
        .map(|s| {
            let shown = work.engine.swatch(s.xyz, s.white, s.lab);
            (shown.srgb, shown.name)
        })
        .unzip())
}

/// Runs of one trade word.
pub(super) fn passed(trace: &Trace) -> Vec<Passed> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for i in 0..trace.name.len() {
        match runs.last_mut() {
            Some((first, last)) if trace.name[*first] == trace.name[i] => *last = i,
            _ => runs.push((i, i)),
        }
    }
    let ends = |i: usize| trace.time_s.get(i).copied().unwrap_or(0.0);
    runs.iter()
        .enumerate()
        .map(|(n, (first, last))| Passed {
            name: trace.name[*first].clone(),
            from_s: ends(*first),
            // A colour lasts until the next one begins.
            to_s: runs.get(n + 1).map_or(ends(*last), |next| ends(next.0)),
            srgb: trace.dry[(first + last) / 2].clone(),
        })
        .collect()
}

/// The words of what is passed, such as `straw, purple, deep blue`.
pub(super) fn in_order(passed: &[Passed]) -> String {
    let words: Vec<&str> = passed.iter().map(|p| p.name.as_str()).collect();
    words.join(", ")
}
