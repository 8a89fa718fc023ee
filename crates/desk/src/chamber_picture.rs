//! What a plan tells of a coater's chamber, as a figure.

use figure::{Above, ChamberFigure, FlowCurve, Growth, PlaceColumn, PlaceMark, TargetMark};
use huewright::Conditions;
use huewright::chamber::{ChamberJson, GasJson, Layers, LoadJson, PlaceJson};
use huewright::limits::PlaceInside;
use huewright::plan::{Plan, StepPlan};

/// One figure for each step that a coater lays.
pub fn chamber_figures(plan: &Plan, conditions: &Conditions) -> Vec<ChamberFigure> {
    plan.steps.iter().filter_map(|s| Some(chamber(plan, s, s.chamber.as_ref()?, conditions))).collect()
}

fn chamber(plan: &Plan, step: &StepPlan, c: &ChamberJson, conditions: &Conditions) -> ChamberFigure {
    // Limits are those of the finished part: the last film's places are judged.
    let last = plan.steps.iter().rfind(|s| s.chamber.is_some()).is_some_and(|s| s.number == step.number);
    let limits = plan.areas.iter().find_map(|a| a.limits.as_ref()).filter(|_| last);
    let judged: Vec<&PlaceInside> = limits.iter().flat_map(|l| l.positions.iter().chain(&l.on_part)).collect();
    let crosses = if judged.is_empty() { "" } else { " A cross: nominally outside the limits of what is wanted." };
    let straight = if c.load.is_some() {
        " Per cent: of the thickness in the middle of the load; off: from its colour (CIEDE2000). Straight flight from target to part: scattering gas, bias and fixtures are not modelled."
    } else {
        ""
    };
    ChamberFigure {
        title: format!("{}, step {}: {}", plan.name, step.number, step.title),
        above: c.load.as_ref().map(|load| above(load, c)),
        flow: c.gas.as_ref().and_then(flow),
        growth: growth(&c.layers),
        load: c.load.as_ref().map_or_else(Vec::new, |load| columns(load, &judged)),
        caption: format!("Seen under {}. Screens and print differ.{straight}{crosses}", conditions.words()),
    }
}

fn above(load: &LoadJson, c: &ChamberJson) -> Above {
    let p = &load.picture;
    // Without a rate the columns are shares of the mean, and of one turn's layer. What turns has its turns told where a
    // rate is known; of what stands still the rate is not drawn.
    let (rate_unit, laid_label) = match c.turns {
        Some(_) => ("nm/min", "laid, nm"),
        None => ("times the mean", "laid, share of one turn"),
    };
    let turning = (load.rotation > 0)
        .then(|| c.turns.as_ref().map_or_else(|| "turns".to_owned(), |t| format!("{} rpm", figure_number(t.rpm))));
    Above {
        turning,
        table_mm: p.table_mm,
        satellite_mm: p.satellite_mm,
        satellites_mm: p.satellites.clone(),
        targets: p
            .targets
            .iter()
            .map(|t| TargetMark { at_mm: [t.x_mm, t.y_mm], bearing_deg: t.bearing_deg, width_mm: t.width_mm })
            .collect(),
        path_mm: p.path_mm.clone(),
        rate: p.rate_nm_per_min.clone(),
        rate_unit: rate_unit.to_owned(),
        laid: p.laid_nm.clone(),
        laid_label: laid_label.to_owned(),
    }
}

/// No more digits than a meter shows.
fn figure_number(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A gas without a loop has no curve to draw.
fn flow(gas: &GasJson) -> Option<FlowCurve> {
    let balance = gas.balance.as_ref()?;
    let words = match (gas.flow_sccm, gas.composition) {
        (Some(flow), Some(composition)) => {
            let doubt = gas.composition_sd.map_or(String::new(), |sd| format!(" \u{b1} {sd:.2}"));
            vec![format!("{flow:.1} sccm give composition {composition:.2}{doubt}")]
        }
        _ => Vec::new(),
    };
    let pump = match balance.jump {
        Some(_) => format!("No jump with a pump {:.1} times as fast", balance.pumping_times),
        None => "This pump is fast enough: there is no jump".to_owned(),
    };
    Some(FlowCurve {
        gas: gas.gas.to_owned(),
        curve: balance.curve.flow_sccm.iter().zip(&balance.curve.cathode_v).map(|(f, v)| [*f, *v]).collect(),
        steady: balance.curve.steady.clone(),
        up: balance.up_sccm_v.clone(),
        down: balance.down_sccm_v.clone(),
        jumps: balance.jump.map(|j| [j.up_sccm, j.down_sccm]),
        chosen: gas.flow_sccm,
        known: gas.range_sccm,
        words: words.into_iter().chain([pump]).collect(),
    })
}

fn growth(layers: &Layers) -> Option<Growth> {
    layers.thickness_nm.last().filter(|nm| **nm > 0.0)?;
    let note = layers.error_delta_e.map_or(String::new(), |error| {
        format!("{} slices stand for the change of composition, exact to {error:.2} (CIEDE2000)", layers.slices)
    });
    Some(Growth {
        thickness_nm: layers.thickness_nm.clone(),
        colours: layers.srgb.clone(),
        words: layers.word.clone(),
        // Of a film that is not graded it is one number, which stands among the settings.
        composition: layers.composition.clone().filter(|_| layers.error_delta_e.is_some()),
        note,
    })
}

/// Places in the load beside those on a part; below them the load under a new or a worn target.
fn columns(load: &LoadJson, judged: &[&PlaceInside]) -> Vec<PlaceColumn> {
    let worn = &load.worn;
    let state = if worn.groove_mm > 0.0 {
        format!("Targets worn {:.0} mm deep", worn.groove_mm)
    } else {
        "New targets".to_owned()
    };
    [
        ("In the load, front of the part".to_owned(), &load.positions, judged),
        ("On a part in the middle".to_owned(), &load.facets, judged),
        (state, &worn.positions, &[]),
    ]
    .into_iter()
    // One place alone is what the whole step tells.
    .filter(|(_, places, _)| places.len() > 1)
    .map(|(heading, places, judged)| PlaceColumn { heading, places: marks(places, judged) })
    .collect()
}

/// Places on a part that are alike to the eye and the ruler are one.
fn marks(places: &[PlaceJson], judged: &[&PlaceInside]) -> Vec<PlaceMark> {
    let mut list: Vec<PlaceMark> = Vec::new();
    for p in places {
        let fails = judged.iter().any(|j| j.at == p.name && j.inside.contains(&false));
        let mark = PlaceMark { fails, ..place(p) };
        let alike = |other: &&mut PlaceMark| p.height_mm.is_none() && other.lines == mark.lines;
        match list.iter_mut().find(alike) {
            Some(other) => other.name.push_str(&format!(", {}", mark.name)),
            None => list.push(mark),
        }
    }
    list
}

fn place(p: &PlaceJson) -> PlaceMark {
    let off = if p.delta_e < 0.05 { String::new() } else { format!(", {:.1} off", p.delta_e) };
    PlaceMark {
        name: p.height_mm.map_or_else(|| p.name.clone(), |mm| format!("{}, {} mm", p.name, height(mm))),
        colour: p.shown.srgb.clone(),
        fails: false,
        lines: vec![format!("{:.0} %, {:.1} nm", 100.0 * p.share, p.thickness_nm), format!("{}{off}", p.shown.name)],
    }
}

fn height(mm: f64) -> String {
    if mm.abs() < 0.5 { "0".to_owned() } else { format!("{mm:+.0}") }
}
