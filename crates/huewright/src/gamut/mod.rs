//! Why is mine less vivid; what can each route reach at all?
//!
//! The ways are those that `match` enumerates, each turned through every setting that it is allowed, so that reach and
//! match never disagree. What is covered is told in cells of the a*, b* plane with their lightness, by sectors of hue,
//! and by trade words; why a way is no more vivid is told from numbers worked out for it.

mod answer;
mod kinds;
mod reasons;
mod sampling;
mod stand_in;
mod tally;
mod titles;
mod told;

pub use answer::{Cell, Curve, CurvePoint, Gamut, HueReach, Kind, Reached, Spot};
pub use stand_in::any_workshop;

use crate::cores::each;
use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::{finish_json, lab_array};
use crate::matching::best::{Reach, best};
use crate::matching::enumerate::{Candidate, RuledOut, candidates};
use crate::matching::reasons::rests_on;
use crate::matching::{TargetJson, starts, told_steps, why_any};
use crate::provenance::Source;
use crate::target::Target;
use library::{FinishFile, WorkshopFile};
use optics::Geometry;
use tally::{CELL, Cells};
use told::Teller;

/// What is asked.
#[derive(Debug, Clone)]
pub struct GamutRequest<'r> {
    /// A colour that the ways are held against, if one is wanted.
    pub target: Option<Target>,
    /// What the person owns or can reach. More than one where machines and metals do not all meet.
    pub workshops: &'r [WorkshopFile],
    /// The part as it is, in place of the workshops' metals.
    pub from: Option<&'r FinishFile>,
}

/// Works out what each way reaches. `progress` is told how many of how many ways are done.
///
/// # Errors
/// [`Fault`] for unknown materials, lights and observers, a tilt or roughness out of range, and a geometry other than
/// included.
pub fn gamut(
    engine: &Engine,
    request: &GamutRequest<'_>,
    conditions: &Conditions,
    mut progress: impl FnMut(usize, usize),
) -> Result<Gamut, Fault> {
    if conditions.geometry != Geometry::Included {
        return Err(Fault::Geometry);
    }
    let eye = Eye::new(engine, conditions)?;
    let (mut tried, mut out): (Vec<Candidate>, Vec<RuledOut>) = (Vec::new(), Vec::new());
    for workshop in request.workshops {
        let starts = starts(workshop, request.from);
        for start in &starts {
            // A surface that the optics refuses is reported once, before any sampling.
            let built = engine.build(start)?;
            eye.see(&built, built.values())?;
        }
        let (found, ruled_out) = candidates(engine, workshop, &starts);
        // Benches may share an oven and a metal.
        tried.extend(found.into_iter().filter(|c| !tried.contains(c)).collect::<Vec<Candidate>>());
        out.extend(ruled_out);
    }
    let target = request.target.as_ref();
    let work = |eye: &Eye<'_>, number: usize| reached(engine, eye, &tried[number], target);
    let done = each(tried.len(), &mut progress, || Eye::new(engine, conditions), work)?;
    let kinds = kinds::kinds(engine, &done);
    let by_shift = done.iter().any(|(_, sampled)| sampled.by_shift);
    let several = done.iter().any(|(way, _)| way.curve.is_none() && way.why_not.is_empty());
    let mut ways: Vec<Reached> = done.into_iter().map(|(way, _)| way).collect();
    ways.extend(out.iter().map(ruled_out));
    let mut notes = target.map_or_else(Vec::new, |t| t.notes.clone());
    if several {
        notes.push(
            "ways with more than one number to turn are sampled on a grid, somewhat finer than match scans, and nothing is \
             refined: a cell at the rim may be missed, and the most vivid colour may be a little more vivid still"
                .to_owned(),
        );
    }
    if by_shift {
        notes.push(
            "ways with more than one number on a textured surface or with uneven films are sampled flat and moved by \
             what texture and spread do nearby; the colours told by settings are worked out in full"
                .to_owned(),
        );
    }
    if tried.is_empty() {
        notes.push("no route can begin here; the reasons stand beside each".to_owned());
    }
    Ok(Gamut { schema: 1, target: target.map(|t| target_json(engine, t)), cell: CELL, ways, kinds, notes })
}

fn target_json(engine: &Engine, target: &Target) -> TargetJson {
    TargetJson {
        lab: lab_array(target.lab),
        given: target.given.clone(),
        shown: engine.swatch_of(target.lab, target.white),
    }
}

/// What the sum over a kind needs beside the answer.
pub(crate) struct Covered {
    cells: Cells,
    by_shift: bool,
}

fn reached(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    target: Option<&Target>,
) -> Result<(Reached, Covered), Fault> {
    let wanted = target.map(|t| t.lab);
    let (steps, _) = told_steps(engine, candidate, None);
    let mut way = Reached {
        title: titles::title(&candidate.start, &candidate.steps),
        kind: Some(titles::kind(engine, candidate)),
        start: finish_json(&candidate.start),
        steps,
        notes: candidate.steps.iter().flat_map(rests_on).collect(),
        ..Reached::default()
    };
    let Some(sampled) = sampling::sample(engine, eye, candidate, wanted, Reach::Allowed)? else {
        way.kind = None;
        way.hues = vec![None; tally::SECTORS];
        way.why_not = vec![reasons::nothing_to_set(candidate)];
        return Ok((way, Covered { cells: Cells::new(), by_shift: false }));
    };
    let mut teller = Teller { engine, eye, candidate, space: &sampled.space, wanted, cautions: Vec::new() };
    let tally = &sampled.tally;
    way.cells = teller.cells(&tally.cells);
    way.area = area(&tally.cells);
    way.hues = teller.hues(&tally.sectors);
    way.most_vivid = tally.most.as_ref().and_then(|m| teller.spot(m));
    way.names = tally.names.iter().cloned().collect();
    way.most_vivid_at_hue = tally.at_hue.as_ref().and_then(|m| teller.spot(m));
    if let Some(wanted) = wanted {
        // The very search of `match`: nearest here and nearest there are one.
        let nearest = best(engine, eye, candidate, wanted, Reach::Allowed)?;
        way.nearest = nearest.map(|b| teller.told(&b.settings, &b.finish, b.lab));
    }
    way.curve = sampled.curve.as_ref().and_then(|c| teller.curve(c));
    way.cautions = teller.cautions;
    way.stand_ins = way.most_vivid.as_ref().map_or_else(Vec::new, |_| stand_ins(engine, &sampled, candidate));
    way.reasons = reasons::reasons(engine, eye, candidate, &sampled, wanted)?;
    Ok((way, Covered { cells: sampled.tally.cells, by_shift: sampled.by_shift }))
}

fn stand_ins(engine: &Engine, sampled: &sampling::Sampled, candidate: &Candidate) -> Vec<String> {
    let most = sampled.tally.most.as_ref();
    let made = most.and_then(|m| crate::matching::best::made(candidate, &sampled.space.settings(&m.x), &[]));
    made.map_or_else(Vec::new, |finish| engine.stand_ins(&finish))
}

/// What the cells cover together.
fn area(cells: &Cells) -> f64 {
    f64::from(u32::try_from(cells.len()).unwrap_or(u32::MAX)) * CELL * CELL
}

fn ruled_out(out: &RuledOut) -> Reached {
    let step = out.route.map(|route| serde_json::json!({ "route": route, "machine": out.machine, "settings": {} }));
    Reached {
        title: titles::ruled_out(out),
        why_not: vec![out.why_not.clone()],
        start: finish_json(&out.start),
        steps: step.into_iter().collect(),
        hues: vec![None; tally::SECTORS],
        ..Reached::default()
    }
}

/// What the answer rests on, as the sources of a match.
pub fn why(engine: &Engine, request: &GamutRequest<'_>, conditions: &Conditions) -> Vec<Source> {
    let mut tried = Vec::new();
    for workshop in request.workshops {
        tried.extend(candidates(engine, workshop, &starts(workshop, request.from)).0);
    }
    why_any(engine, &tried, conditions)
}
