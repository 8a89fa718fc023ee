//! What may be done with a part that already bears a film: go up, heat on, coat over, strip, or accept it.

use super::answer::Choice;
use super::work::Work;
use crate::engine::Engine;
use crate::error::Fault;
use crate::finish::Eye;
use crate::matching::best::{Reach, best};
use crate::matching::enumerate::{Candidate, candidates};
use crate::matching::step::Step;
use crate::matching::{FEASIBLE_DELTA_E, settings_words, told_steps};
use colour::ciede2000;
use library::{FinishFile, WorkshopFile};

/// The choices of a plan: from its start, towards the first colour that is wanted.
pub(super) fn options(work: &Work<'_>) -> Result<Vec<Choice>, Fault> {
    let Some(workshop) = work.bench.workshop else { return Ok(Vec::new()) };
    let wanted = work.areas.iter().find_map(|a| a.wanted.as_ref());
    match wanted {
        Some(target) => choices(work.engine, &work.eye, workshop, &work.start, target.lab),
        None => Ok(Vec::new()),
    }
}

/// What may be done with `start`, to come to `target`; nothing when it bears no film.
///
/// # Errors
/// [`Fault`] when a material is not known.
pub(crate) fn choices(
    engine: &Engine,
    eye: &Eye<'_>,
    workshop: &WorkshopFile,
    start: &FinishFile,
    target: colour::Lab,
) -> Result<Vec<Choice>, Fault> {
    if start.films.is_empty() {
        return Ok(Vec::new());
    }
    let mut list = Vec::new();
    let (over, _) = candidates(engine, workshop, std::slice::from_ref(start));
    for (kind, of) in [("go up", "anodise"), ("heat on", "heat"), ("coat over", "")] {
        let fits = |c: &&Candidate| {
            c.steps.len() == 1
                && match &c.steps[0] {
                    Step::Lay { .. } => of.is_empty(),
                    step => step.route() == of,
                }
        };
        list.extend(nearest(engine, eye, over.iter().filter(fits), target)?.map(|(words, delta_e)| Choice {
            kind,
            words,
            delta_e: Some(delta_e),
        }));
    }
    let bare = FinishFile { films: Vec::new(), over: Vec::new(), ..start.clone() };
    let (anew, _) = candidates(engine, workshop, std::slice::from_ref(&bare));
    let one = |c: &&Candidate| c.steps.len() == 1;
    if let Some((words, delta_e)) = nearest(engine, eye, anew.iter().filter(one), target)? {
        let risk = engine
            .library()
            .preparation("strip")
            .ok()
            .and_then(|p| p.risk.clone())
            .map_or(String::new(), |r| format!("; what it risks: {r}"));
        list.push(Choice { kind: "strip", words: format!("strip it, then {words}{risk}"), delta_e: Some(delta_e) });
    }
    let built = engine.build(start)?;
    let now = eye.lab(&built, built.values())?;
    let off = ciede2000(now, target);
    list.push(Choice {
        kind: "accept",
        words: format!("leave it: it is {}, {off:.1} (CIEDE2000) from what was wanted", engine.names().name(now)),
        delta_e: Some(off),
    });
    Ok(list)
}

/// The nearest of some candidates, in words.
fn nearest<'c>(
    engine: &Engine,
    eye: &Eye<'_>,
    list: impl Iterator<Item = &'c Candidate>,
    target: colour::Lab,
) -> Result<Option<(String, f64)>, Fault> {
    let mut found: Option<(String, f64)> = None;
    for candidate in list {
        let Some(b) = best(engine, eye, candidate, target, Reach::Allowed)? else { continue };
        if found.as_ref().is_some_and(|(_, d)| *d <= b.delta_e) {
            continue;
        }
        let (steps, _) = told_steps(engine, candidate, Some(&b.settings));
        let step = &candidate.steps[0];
        let reach = if b.delta_e <= FEASIBLE_DELTA_E { "reaches it" } else { "does not reach it" };
        let words = format!(
            "{} ({}) at {}: {reach}, {} at {:.1} (CIEDE2000)",
            step.route(),
            step.machine(),
            settings_words(&steps),
            engine.names().name(b.lab),
            b.delta_e
        );
        found = Some((words, b.delta_e));
    }
    Ok(found)
}
