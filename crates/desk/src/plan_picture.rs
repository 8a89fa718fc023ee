//! A plan as figures: what each step shows through time, and what lies along the part in the end.

use crate::chamber_picture::chamber_figures;
use figure::{Band, RibbonFigure, Strip};
use huewright::Conditions;
use huewright::plan::{Along, AreaPlan, Plan, StepPlan, Trace};

/// Colours in a strip.
const COLOURS: u32 = 240;

/// The pictures of a plan, SVG: one for each step that grows a film, one for each area that differs along its length, one
/// for each coater's chamber.
pub fn plan_pictures(plan: &Plan, conditions: &Conditions) -> Vec<String> {
    let chambers = chamber_figures(plan, conditions);
    let chambers = chambers.iter().map(figure::ChamberFigure::svg);
    plan_figures(plan, conditions).iter().map(RibbonFigure::svg).chain(chambers).collect()
}

/// One figure for each step that grows a film, then one for each area that differs along its length.
fn plan_figures(plan: &Plan, conditions: &Conditions) -> Vec<RibbonFigure> {
    // A step that ends as it begins has nothing to draw.
    let lasts = |t: &&Trace| t.time_s.last().is_some_and(|end| *end > 0.0);
    let steps =
        plan.steps.iter().filter_map(|s| Some(through_time(plan, s, s.trace.as_ref().filter(lasts)?, conditions)));
    let areas = plan.areas.iter().filter_map(|a| Some(along(plan, a, a.along.as_ref()?, conditions)));
    steps.chain(areas).collect()
}

fn through_time(plan: &Plan, step: &StepPlan, trace: &Trace, conditions: &Conditions) -> RibbonFigure {
    let end = trace.time_s.last().copied().unwrap_or(0.0);
    let (unit, per) = if end > 600.0 { ("min", 60.0) } else { ("s", 1.0) };
    let at = |share: f64| trace.time_s.partition_point(|t| *t < share * end).min(trace.time_s.len().saturating_sub(1));
    let strip = |label: &str, colours: &[String]| Strip {
        label: label.to_owned(),
        colours: (0..=COLOURS).map(|i| colours[at(f64::from(i) / f64::from(COLOURS))].clone()).collect(),
        out_of_gamut: vec![false; COLOURS as usize + 1],
    };
    let fade = if step.lift.is_some() { " (the end that leaves last)" } else { "" };
    RibbonFigure {
        title: format!("{}, step {}: {}{fade}", plan.name, step.number, step.title),
        axis: format!("time, {unit}"),
        from: 0.0,
        to: end / per,
        strips: [("dry", &trace.dry), ("wet", &trace.wet)]
            .into_iter()
            .filter(|(_, colours)| !colours.is_empty())
            .map(|(label, colours)| strip(label, colours))
            .collect(),
        bands: step
            .passed
            .iter()
            .map(|p| Band { from: p.from_s / per, to: p.to_s / per, name: p.name.clone() })
            .collect(),
        mark: None,
        caption: format!(
            "{} Seen under {}. Screens and print differ.",
            if trace.wet.is_empty() { "In air." } else { "Upper strip: dry, in air; lower strip: under water." },
            conditions.words()
        ),
    }
}

fn along(plan: &Plan, area: &AreaPlan, places: &[Along], conditions: &Conditions) -> RibbonFigure {
    let mut bands: Vec<Band> = Vec::new();
    for place in places {
        match bands.last_mut() {
            Some(band) if band.name == place.shown.name => band.to = place.at,
            _ => bands.push(Band { from: place.at, to: place.at, name: place.shown.name.clone() }),
        }
    }
    RibbonFigure {
        title: format!("{}: {} along its length", plan.name, area.name),
        axis: "along the part, % (0 leaves the bath or begins the gradient)".to_owned(),
        from: places.first().map_or(0.0, |p| p.at),
        to: places.last().map_or(100.0, |p| p.at),
        strips: vec![Strip {
            label: "dry".to_owned(),
            colours: places.iter().map(|p| p.shown.srgb.clone()).collect(),
            out_of_gamut: places.iter().map(|p| p.shown.srgb_out_of_gamut).collect(),
        }],
        bands,
        mark: None,
        caption: format!("What it is in the end. Seen under {}. Screens and print differ.", conditions.words()),
    }
}
