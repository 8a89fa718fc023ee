//! Loads and their causes in words.

use super::answer::{CauseTold, LoadTold, WhyTold, WitnessTold};
use super::causes::Held;
use super::{Kind, One, Wanted, lab_of_witness};
use crate::engine::Engine;
use crate::json::lab_array;
use crate::matching::step::Step;
use crate::plan::Followed;
use colour::{Xyz, ciede2000};
use library::{LoadRow, LoadsFile};

/// Causes less likely than this are not told.
const TOLD: f64 = 0.02;
/// A cause this likely is named; below it the verdict says that it cannot tell.
const NAMED: f64 = 0.6;
/// The first load with a witness.
const REFERENCE: &str = "the reference: what it is off by is laid to the published constants, not to the run";
/// A setting has moved when it differs by more than this share.
const MOVED: f64 = 0.005;

/// The rows of a log, with their witnesses judged.
pub(super) fn rows(engine: &Engine, log: &LoadsFile, wanted: &Wanted, white: Xyz) -> Vec<LoadTold> {
    log.loads
        .iter()
        .enumerate()
        .map(|(i, row)| LoadTold {
            name: row.name.clone(),
            date: row.date.clone(),
            settings: row.settings.iter().copied().collect(),
            seconds: row.seconds.clone(),
            changed: i.checked_sub(1).map(|before| changed(&log.loads[before], row)).unwrap_or_default(),
            witnesses: row
                .witnesses
                .iter()
                .map(|w| {
                    let lab = lab_of_witness(w);
                    WitnessTold {
                        at: w.at.clone(),
                        lab: lab_array(lab),
                        shown: engine.swatch_of(lab, white),
                        delta_e: wanted.target.as_ref().map(|t| ciede2000(lab, t.lab)),
                        difference: wanted.target.as_ref().map(|t| [lab.l - t.lab.l, lab.a - t.lab.a, lab.b - t.lab.b]),
                        inside: wanted.limits.map(|l| l.inside(lab)),
                        passes: wanted.limits.map(|l| l.passes(lab)),
                    }
                })
                .collect(),
            foretold: Vec::new(),
            causes: Vec::new(),
            verdict: if row.witnesses.is_empty() {
                "no witness: nothing can be said".to_owned()
            } else {
                String::new()
            },
        })
        .collect()
}

fn changed(before: &LoadRow, row: &LoadRow) -> Vec<String> {
    let was = |key: &str| before.settings.iter().find(|(k, _)| *k == key).map(|(_, v)| *v);
    let mut list: Vec<String> =
        row.settings.iter().filter(|(key, value)| was(key) != Some(*value)).map(|(key, _)| (*key).to_owned()).collect();
    if before.seconds != row.seconds {
        list.push("seconds".to_owned());
    }
    list
}

/// The causes of a load, into its row.
pub(super) fn explained(
    engine: &Engine,
    followed: &Followed,
    log: &LoadsFile,
    told: &mut LoadTold,
    one: &Option<One<'_>>,
    reference: Option<usize>,
) {
    let Some(one) = one else { return };
    told.foretold = one.foretold.iter().map(|lab| lab_array(*lab)).collect();
    let first = reference.map(|r| &log.loads[r]);
    let this = log.loads.iter().find(|l| l.name == told.name);
    if first.is_some_and(|f| f.name == told.name) {
        told.verdict = REFERENCE.to_owned();
        return;
    }
    told.causes = one
        .verdict
        .held
        .iter()
        .filter(|h| h.probability >= TOLD)
        .map(|held| {
            let kind = held.suspect.map(|s| one.kinds[s]);
            CauseTold {
                words: words(engine, followed, held, kind),
                why: why(engine, &held.id, first, this),
                id: held.id.clone(),
                probability: held.probability,
                amount: held.amount,
                sd: held.sd,
            }
        })
        .collect();
    told.verdict = verdict(told);
}

fn verdict(told: &LoadTold) -> String {
    let [best, ..] = &told.causes[..] else { return "nothing can be told apart".to_owned() };
    let share = |p: f64| format!("{:.0} %", 100.0 * p);
    if best.probability >= NAMED {
        return format!("{} ({})", best.words, share(best.probability));
    }
    let all: Vec<String> =
        told.causes.iter().take(3).map(|c| format!("{} ({})", c.words, share(c.probability))).collect();
    format!("cannot tell: {}", all.join("; or "))
}

fn words(engine: &Engine, followed: &Followed, held: &Held, kind: Option<Kind>) -> String {
    if held.id == "same" {
        return "as foretold, within the scatter of the machine".to_owned();
    }
    let cause = engine.library().causes().iter().find(|c| c.id == held.id);
    let words = cause.map_or_else(|| held.id.clone(), |c| c.words.clone());
    let films = &followed.candidate.steps;
    let percent = |log: f64| 100.0 * (libm::exp(log) - 1.0).abs();
    match kind {
        Some(Kind::Top) => {
            format!("{words}: {} by {:.0} +- {:.0} %", film(films.last()), percent(held.amount), 100.0 * held.sd)
        }
        Some(Kind::Below) => format!("{words}: by {:.0} % of its thickness", percent(held.amount)),
        Some(Kind::Rise) => format!(
            "{words}: {} by {:.0} % from the middle to the top",
            if held.amount > 0.0 { "more above," } else { "less above," },
            100.0 * held.amount.abs()
        ),
        Some(Kind::Composition(step)) => {
            format!("{words}: {}, by {:.2} +- {:.2} of its slider", film(films.get(step)), held.amount.abs(), held.sd)
        }
        Some(Kind::Oxide) => format!("{words}: some {:.1} +- {:.1} nm", held.amount, held.sd),
        None => words,
    }
}

fn film(step: Option<&Step>) -> &str {
    step.map_or("the film", Step::film)
}

/// What makes a cause: what the log speaks for first, then as the data have it.
fn why(engine: &Engine, id: &str, first: Option<&LoadRow>, this: Option<&LoadRow>) -> Vec<WhyTold> {
    let Some(cause) = engine.library().causes().iter().find(|c| c.id == id) else { return Vec::new() };
    let value = |row: Option<&LoadRow>, key: &str| row?.settings.iter().find(|(k, _)| *k == key).map(|(_, v)| *v);
    let mut list: Vec<WhyTold> = cause
        .why
        .iter()
        .map(|w| WhyTold {
            words: w.words.clone(),
            check: w.check.clone(),
            change: w.change.clone(),
            source: w.source.clone(),
            for_it: w
                .moved
                .iter()
                .filter_map(|(key, up)| {
                    let (from, to) = (value(first, key)?, value(this, key)?);
                    let went = to - from;
                    (went.abs() > MOVED * from.abs() && (went > 0.0) == *up)
                        .then(|| format!("{key} went from {from} to {to}"))
                })
                .collect(),
        })
        .collect();
    list.sort_by_key(|w| std::cmp::Reverse(w.for_it.len()));
    list
}
