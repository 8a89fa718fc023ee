//! Why a way cannot be done, in plain words.

use super::best::Best;
use super::enumerate::{Candidate, RuledOut, existing_for};
use super::step::{Setting, Step};
use super::words::setting_words;
use super::words::steps_words;
use super::{FEASIBLE_DELTA_E, Way};
use crate::engine::Engine;
use crate::json::finish_json;
use library::{SupplyKind, WorkshopFile};
use serde_json::json;

/// A way that was ruled out before any search.
pub(super) fn ruled_out(out: &RuledOut) -> Way {
    // Where no route can begin there is no step to show.
    let step = out.route.map(|route| json!({ "route": route, "machine": out.machine, "settings": {} }));
    let (start, steps) = (finish_json(&out.start), step.into_iter().collect::<Vec<_>>());
    let [title, set] = steps_words(&start, &steps);
    Way { why_not: vec![out.why_not.clone()], title, set, start, steps, ..Way::default() }
}

/// Machines that tell no scatter: their runs are taken as equal, which flatters the chance.
pub(super) fn without_scatter(workshop: &WorkshopFile) -> Option<String> {
    let supplies = workshop.anodisers.iter().filter(|a| a.repeatability_v <= 0.0).map(|a| (&a.name, "repeatability_v"));
    let ovens = workshop.ovens.iter().filter(|o| o.repeatability_c <= 0.0).map(|o| (&o.name, "repeatability_c"));
    let coaters = workshop.coaters.iter().filter(|c| c.repeatability <= 0.0).map(|c| (&c.name, "repeatability"));
    let silent: Vec<String> =
        supplies.chain(ovens).chain(coaters).map(|(name, key)| format!("{name} ({key})")).collect();
    (!silent.is_empty()).then(|| {
        format!("no scatter is given for {}: its runs are taken as equal, which flatters the chance", silent.join(", "))
    })
}

/// The same bath on the bare metal, when a film is there already.
pub(super) fn stripped(candidate: &Candidate) -> Option<Candidate> {
    let anodised = matches!(candidate.steps[..], [Step::Anodise { .. }]);
    (anodised && !candidate.start.films.is_empty()).then(|| {
        let mut bare = candidate.clone();
        bare.start.films.clear();
        bare
    })
}

/// What stands in the way is the film that is there.
pub(super) fn already_there(candidate: &Candidate, bare: &Best) -> String {
    let there = candidate.start.films.last().map_or(0.0, |f| f.thickness_nm);
    format!(
        "needed are {:.0} nm, but {there:.0} nm are already there, and a bath never thins a film: strip or polish it first",
        bare.settings[0].thickness_nm
    )
}

/// What a step's settings rest on, and how far sources disagree.
pub(crate) fn rests_on(step: &Step) -> Vec<String> {
    match step {
        Step::Anodise { laws, bath, supply, .. } => {
            let (law, nominal) = &laws[0];
            let round = |v: f64| (1e3 * v).round() / 1e3;
            let mut notes = vec![format!(
                "volts by {} nm + {} +- {} nm/V in {}: {}",
                law.offset_nm,
                round(nominal.ratio_nm_per_v),
                round(nominal.ratio_sd_nm_per_v),
                bath.electrolyte,
                law.status
            )];
            match supply.kind {
                SupplyKind::Regulated => {}
                SupplyKind::Batteries => notes.push(format!(
                    "{} is a stack of batteries: take the step that falls inside the window, fresh cells give more than their label",
                    supply.name
                )),
                SupplyKind::Rectified => notes.push(format!(
                    "{} is rectified: without smoothing the film grows to the peak, and a meter shows less (common practice, no source)",
                    supply.name
                )),
            }
            notes.extend(laws.iter().skip(1).map(|(other, _)| {
                format!(
                    "another source has {} nm/V ({}): the same colour at {:.0} % of the voltage",
                    other.ratio_nm_per_v,
                    other.status,
                    100.0 * law.ratio_nm_per_v / other.ratio_nm_per_v
                )
            }));
            notes
        }
        Step::Heat { law, of, .. } => vec![format!(
            "oxide on {of} is known within a factor of {} ({}): run one coupon first",
            law.factor, law.status
        )],
        Step::Lay { flow: Some(map), film, .. } => vec![format!(
            "composition of {} by the shop's own colours at {} flows of {} between {} and {} sccm",
            film.material,
            map.from.len(),
            map.gas,
            map.range_sccm[0],
            map.range_sccm[1]
        )],
        Step::Lay { slider: Some(_), film, .. } => {
            vec![format!(
                "composition of {} is a slider of a model, no measured share: run one coupon first",
                film.material
            )]
        }
        Step::Lay { .. } => Vec::new(),
    }
}

/// Two differences this close are told once.
const SAME: f64 = 0.1;

/// Compares what is allowed with what one would wish for.
pub(super) fn why_not(
    engine: &Engine,
    candidate: &Candidate,
    allowed: Option<&Best>,
    wished: Option<&Best>,
) -> Vec<String> {
    let Some(last) = candidate.steps.last() else { return Vec::new() };
    let existing = if candidate.steps.len() == 1 { existing_for(last, &candidate.start) } else { 0.0 };
    let near = wished.filter(|w| w.delta_e <= FEASIBLE_DELTA_E);
    let mut why = Vec::new();
    if let Some(w) = near {
        why.push(beyond_the_machine(last, w.settings[w.settings.len() - 1], existing));
    } else if let Some(w) = wished
        && allowed.is_none_or(|a| w.delta_e < a.delta_e - SAME)
    {
        why.push(format!(
            "no thickness of {} comes nearer than a difference of {:.1} ({})",
            last.film(),
            w.delta_e,
            engine.names().name(w.lab)
        ));
    } else if allowed.is_none() {
        why.push(format!("{} cannot be set to anything here", last.machine()));
    }
    if let Some(a) = allowed {
        let what = last
            .settings(a.settings[a.settings.len() - 1], existing)
            .into_iter()
            .filter(|(key, _)| *key != "part_temperature_c" && *key != "seconds")
            .map(|(key, value)| setting_words(key, value))
            .collect::<Vec<_>>()
            .join(", ");
        why.push(format!(
            "the nearest it can do ({what}) would look {}, a difference of {:.1}",
            engine.names().name(a.lab),
            a.delta_e
        ));
    }
    why
}

/// The limit of the machine that stands in the way of a thickness that would serve.
fn beyond_the_machine(step: &Step, needed: Setting, existing_nm: f64) -> String {
    let nm = needed.thickness_nm;
    match step {
        Step::Lay { coater, .. } if nm < coater.thinnest_nm => {
            format!("the thinnest film of {} is {} nm; needed is {nm:.0} nm", coater.name, coater.thinnest_nm)
        }
        Step::Lay { coater, .. } => {
            format!("needed is {nm:.0} nm, which {} does not lay", coater.name)
        }
        Step::Anodise { laws, .. } => {
            let volts = laws[0].1.voltage_v(nm);
            let limit = step.greatest_voltage().map(|(_, words)| words).unwrap_or_default();
            if volts < 0.0 {
                format!("needed are {nm:.0} nm, less than the native film")
            } else {
                format!("needed are {nm:.0} nm, {volts:.0} V; {limit}")
            }
        }
        Step::Heat { oven, law, .. } => {
            let [low, high] = step.allowed_nm(existing_nm).unwrap_or([0.0, 0.0]);
            format!(
                "needed are {nm:.0} nm of oxide; {} makes {low:.0} to {high:.0} nm between {} and {} C in {} to {} min, \
                 where the rate is known",
                oven.name,
                law.valid_c[0],
                law.valid_c[1].min(oven.max_temperature_c),
                law.valid_minutes[0],
                law.valid_minutes[1]
            )
        }
    }
}
