//! What each area becomes, and how sure: the odds of `match`, over the chain of its steps.

use super::answer::{Along, AreaPlan, Band, SetOfPieces, WantedColour};
use super::judged::judged;
use super::work::{Area, Strip, Work, strays};
use crate::error::Fault;
use crate::json::lab_array;
use crate::matching::best::Best;
use crate::matching::odds::{Limits, Odds, odds};
use crate::matching::step::{Setting, outermost_nm};
use crate::matching::{ALIKE_DELTA_E, Also, LAND_DELTA_E, TOLD_SHARE};
use crate::target::{Given, Target};
use colour::{Lab, ciede2000};
use library::FinishFile;

/// Most pieces of a set that are reckoned with.
const MOST_PIECES: u32 = 12;

pub(super) fn areas(work: &mut Work<'_>) -> Result<Vec<AreaPlan>, Fault> {
    work.areas.iter().map(|area| one(work, area)).collect()
}

fn one(work: &Work<'_>, area: &Area) -> Result<AreaPlan, Fault> {
    let made = work.seen(&area.finish)?;
    let lab = Lab { l: made.lab[0], a: made.lab[1], b: made.lab[2] };
    let target = area.wanted.as_ref().map_or(lab, |t| t.lab);
    let pieces = work.size.as_ref().map_or(2, |s| s.count.clamp(2, MOST_PIECES));
    let odds = (!area.chain.is_empty()).then(|| chances(work, area, None, &area.finish, (lab, target), pieces));
    // A machine of which no scatter is known would match itself always.
    let pairs = odds.as_ref().filter(|_| area.chain.iter().all(|(_, step, _)| strays(step)));
    let along = area.along.as_ref().map(|strip| along(work, area, strip)).transpose()?;
    let limits = work.limits.as_ref().map(|limits| judged(work, area, limits, lab));
    Ok(AreaPlan {
        limits,
        name: area.name.clone(),
        share: area.share,
        wanted: area.wanted.as_ref().map(|t| wanted(work, t)),
        delta_e: area.wanted.as_ref().map(|t| ciede2000(lab, t.lab)),
        planned_nm: outermost_nm(&area.finish),
        thickness_nm: odds.as_ref().and_then(|o| o.thickness_nm).map(band),
        delta_e_of_runs: odds.as_ref().map(|o| band(o.differences)),
        chance: odds.as_ref().map(|o| o.chance),
        chance_of_name: odds.as_ref().zip(area.wanted.as_ref()).and_then(|(o, t)| match &t.kind {
            Given::Word(word) => Some(o.names.iter().find(|(name, _)| name == word).map_or(0.0, |(_, share)| *share)),
            _ => None,
        }),
        set: pairs.filter(|_| pieces > 2).map(|o| SetOfPieces { pieces, chance_match: o.chance_set }),
        chance_match: pairs.map(|o| o.chance_match),
        chance_alike: pairs.map(|o| o.chance_alike),
        may_also_be: odds.map_or_else(Vec::new, |o| {
            o.names
                .into_iter()
                .filter(|(name, share)| *share >= TOLD_SHARE && *name != made.shown.name)
                .map(|(name, share)| Also { name, share })
                .collect()
        }),
        along,
        made,
    })
}

fn band([median, low, high]: [f64; 3]) -> Band {
    Band { median, low, high }
}

pub(super) fn wanted(work: &Work<'_>, target: &Target) -> WantedColour {
    WantedColour {
        given: target.given.clone(),
        lab: lab_array(target.lab),
        shown: work.engine.swatch_of(target.lab, target.white),
    }
}

/// The odds of an area, with another thickness in its last step where that is given.
fn chances(
    work: &Work<'_>,
    area: &Area,
    last_nm: Option<f64>,
    finish: &FinishFile,
    (lab, target): (Lab, Lab),
    pieces: u32,
) -> Odds {
    let (candidate, mut settings) = Work::candidate(area);
    if let (Some(nm), Some(last)) = (last_nm, settings.last_mut()) {
        *last = Setting { thickness_nm: nm, ..*last };
    }
    let best = Best { settings, finish: finish.clone(), lab, delta_e: ciede2000(lab, target) };
    let limits = Limits { land: LAND_DELTA_E, pair: ALIKE_DELTA_E, pieces };
    odds(work.engine, &work.eye, &candidate, &best, target, limits)
}

fn along(work: &Work<'_>, area: &Area, strip: &Strip) -> Result<Vec<Along>, Fault> {
    let nm: Vec<f64> = strip.places.iter().map(|p| p.thickness_nm).collect();
    let built = work.engine.build(&strip.finish)?;
    let seen = work.eye.see_turned(&built, strip.finish.films.len() - 1, &nm)?;
    Ok(strip
        .places
        .iter()
        .zip(seen)
        .map(|(place, s)| {
            let chance = place.wanted.as_ref().map(|t| {
                let mut here = strip.finish.clone();
                if let Some(top) = here.films.last_mut() {
                    top.thickness_nm = place.thickness_nm;
                }
                chances(work, area, Some(place.thickness_nm), &here, (s.lab, t.lab), 2).chance
            });
            Along {
                at: place.at,
                thickness_nm: place.thickness_nm,
                voltage_v: place.voltage_v,
                lab: lab_array(s.lab),
                shown: work.engine.swatch(s.xyz, s.white, s.lab),
                wanted: place.wanted.as_ref().map(|t| wanted(work, t)),
                delta_e: place.wanted.as_ref().map(|t| ciede2000(s.lab, t.lab)),
                chance,
            }
        })
        .collect())
}
