//! Limits of each axis, judged for the middle of the load and for its places.

use super::work::{Area, Work, colour_of, strays};
use crate::chamber::load::Loaded;
use crate::engine::Light;
use crate::json::lab_array;
use crate::limits::{AXES, AxisJson, Limits, LimitsJson, PlaceInside, shares};
use crate::matching::best::{Best, made};
use crate::matching::odds::places;
use crate::matching::step::Step;
use colour::{Lab, ciede2000};

pub(super) fn judged(work: &Work<'_>, area: &Area, limits: &Limits, lab: Lab) -> LimitsJson {
    let (candidate, settings) = Work::candidate(area);
    let coater = area.chain.last().and_then(|(_, step, _)| match step {
        Step::Lay { coater, .. } => Some(coater),
        _ => None,
    });
    let loaded = coater.and_then(Loaded::of);
    let positions: Vec<(String, f64)> = loaded.iter().flat_map(|l| l.positions()).map(|p| (p.name, p.share)).collect();
    let facets: Vec<(String, f64)> = loaded
        .iter()
        .flat_map(|l| l.on_part(work.part.map(|p| &p.extent)))
        .map(|(name, share)| (name.to_owned(), share))
        .collect();
    // The middle first, then the places of the load, then those on the part.
    let parts: Vec<f64> =
        std::iter::once(1.0).chain(positions.iter().chain(&facets).map(|(_, share)| *share)).collect();
    let known = !area.chain.is_empty() && area.chain.iter().all(|(_, step, _)| strays(step));
    let samples = known.then(|| {
        let best = Best {
            settings: settings.clone(),
            finish: area.finish.clone(),
            lab,
            delta_e: ciede2000(lab, limits.master),
        };
        places(work.engine, &work.eye, &candidate, &best, &parts)
    });
    let column =
        |i: usize| -> Option<Vec<Lab>> { samples.as_ref().map(|s| s.iter().filter_map(|sample| sample[i]).collect()) };
    let middle = column(0).map(|labs| shares(limits, &labs));
    let told = |list: &[(String, f64)], first: usize| -> Vec<PlaceInside> {
        list.iter()
            .enumerate()
            .filter_map(|(i, (name, share))| {
                let mut there = settings.clone();
                there.last_mut()?.thickness_nm *= share;
                let lab = colour_of(work, &made(&candidate, &there, &[])?)?;
                Some(PlaceInside {
                    at: name.clone(),
                    difference: limits.difference(lab),
                    inside: limits.inside(lab),
                    share_inside: shares(limits, &column(first + i)?).1,
                })
            })
            .collect()
    };
    let at_places = told(&positions, 1);
    let on_part = told(&facets, 1 + positions.len());
    let yields = match (at_places.is_empty(), middle) {
        (true, Some((_, all))) => Some(all),
        (false, Some(_)) => {
            #[expect(clippy::cast_precision_loss, reason = "a handful of places")]
            let count = at_places.len() as f64;
            Some(at_places.iter().map(|p| p.share_inside).sum::<f64>() / count)
        }
        _ => None,
    };
    let inside = limits.inside(lab);
    let difference = limits.difference(lab);
    let axes: Vec<AxisJson> = (0..3)
        .map(|i| AxisJson {
            axis: AXES[i],
            low: limits.axes[i].map(|l| l[0]),
            high: limits.axes[i].map(|l| l[1]),
            difference: difference[i],
            inside: inside[i],
            share_inside: middle.map(|m| m.0[i]),
        })
        .collect();
    LimitsJson {
        light: match &work.conditions.light {
            Light::Named(word) => word.clone(),
            Light::Own { name, .. } => name.clone(),
        },
        observer: work.conditions.observer.clone(),
        master: lab_array(limits.master),
        words: words(&axes, &at_places, &on_part, yields),
        axes,
        share_inside: middle.map(|m| m.1),
        positions: at_places,
        on_part,
        yields,
    }
}

fn words(axes: &[AxisJson], places: &[PlaceInside], on_part: &[PlaceInside], yields: Option<f64>) -> Vec<String> {
    let mut list = Vec::new();
    for axis in axes.iter().filter(|a| !a.inside) {
        list.push(format!(
            "{} is off by {:+.1}; allowed are {:+.1} to {:+.1}: nominally the part fails",
            axis.axis,
            axis.difference,
            axis.low.unwrap_or(f64::NEG_INFINITY),
            axis.high.unwrap_or(f64::INFINITY)
        ));
    }
    let tightest = axes.iter().filter_map(|a| Some((a.axis, a.share_inside?))).min_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((axis, share)) = tightest {
        list.push(format!(
            "{axis} decides: {:.0} % of runs are inside its limits in the middle of the load",
            100.0 * share
        ));
    }
    let mut failing: Vec<(Vec<&str>, Vec<&str>)> = Vec::new();
    for place in places.iter().chain(on_part).filter(|p| !p.inside.iter().all(|i| *i)) {
        let out: Vec<&str> = (0..3).filter(|i| !place.inside[*i]).map(|i| AXES[i]).collect();
        match failing.iter_mut().find(|(axes, _)| *axes == out) {
            Some((_, places)) => places.push(&place.at),
            None => failing.push((out, vec![&place.at])),
        }
    }
    for (axes, places) in failing {
        list.push(format!("outside on {}, nominally: {}", axes.join(" and "), places.join(", ")));
    }
    match yields {
        Some(share) => list.push(format!(
            "{:.0} of 100 parts pass, as far as the constants are known: coupons of your own narrow it",
            100.0 * share
        )),
        None => list.push("no scatter of the machine is known, so that no share of parts is told".to_owned()),
    }
    list
}
