//! Loads of a coater as a figure: witnesses beside the wanted colour, what explains them, what to set next.

use crate::setting_words::{setting_words, shutter_words};
use figure::{CauseBar, LoadColumn, LoadsFigure, NextMark, WitnessMark};
use huewright::correct::{Correction, LoadTold, Next, WitnessTold};
use huewright::limits::AXES;

/// Loads that are drawn: the last of a long log.
const DRAWN: usize = 6;
/// Causes of a load that are drawn.
const CAUSES: usize = 3;
/// Less likely ones are not.
const LIKELY: f64 = 0.05;

/// The last loads of a log.
pub fn loads_figure(found: &Correction) -> LoadsFigure {
    let skipped = found.loads.len().saturating_sub(DRAWN);
    let earlier =
        if skipped == 0 { String::new() } else { format!(" The last {DRAWN} of {} loads.", found.loads.len()) };
    let limits = found.wanted.as_ref().is_some_and(|w| w.limits.is_some());
    let crossed = if limits { " A cross marks what is outside the limits." } else { "" };
    LoadsFigure {
        title: found.name.clone(),
        wanted: found.wanted.as_ref().map(|w| (w.shown.srgb.clone(), format!("{}, {}", w.shown.name, lab(w.lab)))),
        loads: found.loads.iter().enumerate().skip(skipped).map(|(i, load)| column(load, &told(found, i))).collect(),
        drift: found.trend.as_ref().map(|t| t.words.clone()),
        next: found.next.as_ref().map(next),
        caption: format!(
            "Differences are CIEDE2000 from what is wanted; bars are probabilities.{crossed}{earlier} Seen under {}. Screens and print differ.",
            found.seen_under
        ),
    }
}

fn lab(lab: [f64; 3]) -> String {
    format!("L* {:.1}, a* {:+.1}, b* {:+.1}", lab[0], lab[1], lab[2])
}

/// Keys that a load tells: those that differ from the load before; the first load those that are ever turned, and its time.
fn told(found: &Correction, i: usize) -> Vec<&str> {
    if i > 0 {
        return found.loads[i].changed.iter().map(String::as_str).collect();
    }
    std::iter::once("seconds").chain(found.loads.iter().flat_map(|l| &l.changed).map(String::as_str)).collect()
}

fn column(load: &LoadTold, told: &[&str]) -> LoadColumn {
    let mut set: Vec<String> = load.date.iter().cloned().collect();
    let settings = load.settings.iter().filter(|(key, _)| told.contains(*key));
    set.extend(settings.map(|(key, value)| setting_words(key, *value)));
    if told.contains(&"seconds") && !load.seconds.is_empty() {
        set.push(shutter_words(&load.seconds));
    }
    LoadColumn {
        name: load.name.clone(),
        set,
        witnesses: load.witnesses.iter().map(witness).collect(),
        causes: load
            .causes
            .iter()
            .filter(|c| c.probability >= LIKELY)
            .take(CAUSES)
            .map(|c| CauseBar { share: c.probability, words: c.words.clone() })
            .collect(),
        verdict: load.verdict.clone(),
    }
}

fn witness(w: &WitnessTold) -> WitnessMark {
    let fails = w.passes == Some(false);
    let judged = w.inside.map(|inside| {
        let out: Vec<&str> = AXES.iter().zip(inside).filter(|(_, inside)| !inside).map(|(axis, _)| *axis).collect();
        if out.is_empty() { ", passes".to_owned() } else { format!(", fails {}", out.join(" ")) }
    });
    let words = w
        .delta_e
        .map_or_else(|| w.shown.name.clone(), |delta_e| format!("off {delta_e:.1}{}", judged.unwrap_or_default()));
    WitnessMark { at: w.at.clone(), colour: w.shown.srgb.clone(), words, fails }
}

fn next(next: &Next) -> NextMark {
    let mut lines: Vec<String> = next.set.iter().map(|c| format!("set {}", c.words)).collect();
    if lines.is_empty() {
        lines.push("set as in the last load".to_owned());
    }
    lines.push(format!("expected {}, {:.1} from what is wanted", next.shown.name, next.delta_e));
    NextMark {
        colour: next.shown.srgb.clone(),
        lines,
        chance: next.chance,
        kept: next.chance_unchanged.filter(|_| !next.set.is_empty()),
    }
}
