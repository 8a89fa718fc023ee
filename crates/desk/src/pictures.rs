//! Answers as figures: what a page and a command draw alike.

use figure::{Band, BoardFigure, Card, Mark, RibbonFigure, SpectrumFigure, Strip};
use huewright::Conditions;
use huewright::look::Look;
use huewright::matching::{DRIFT_TILTS_DEG, LAND_DELTA_E, Match, Way, odds_words};
use huewright::ribbon::{Ribbon, WayRibbon};

/// Ways in the picture of a search.
pub(crate) const DRAWN: usize = 6;

/// The ribbon under `conditions` (each row has its own tilt), with what is pointed at.
pub fn ribbon_figure(ribbon: &Ribbon, conditions: &Conditions, mark: Option<Mark>) -> RibbonFigure {
    let first = &ribbon.rows[0];
    let words = match ribbon.setting {
        "voltage_v" => "voltage",
        "temperature_c" => "temperature",
        "minutes" => "time",
        _ => "film thickness",
    };
    let level = Conditions { tilt_deg: 0.0, ..conditions.clone() };
    let mut caption = format!("Seen under {}. Screens and print differ.", level.words());
    if mark.as_ref().is_some_and(|m| m.window.is_some()) {
        caption.push_str(" The bar above the mark spans the settings in which the colour holds.");
    }
    if ribbon.rows.iter().flat_map(|r| &r.points).any(|p| p.shown.srgb_out_of_gamut) {
        caption.push_str(" Dotted: beyond what the screen shows.");
    }
    for note in ribbon.notes.iter().take(3) {
        let mut letters = note.chars();
        let first = letters.next().map(|c| c.to_uppercase().to_string()).unwrap_or_default();
        caption.push_str(&format!(" {first}{}.", letters.as_str()));
    }
    RibbonFigure {
        title: ribbon.title.clone(),
        axis: format!("{words}, {}", ribbon.unit),
        from: first.points[0].value,
        to: first.points[first.points.len() - 1].value,
        strips: ribbon
            .rows
            .iter()
            .map(|row| Strip {
                label: format!("{}\u{b0}", row.tilt_deg),
                colours: row.points.iter().map(|p| p.shown.srgb.clone()).collect(),
                out_of_gamut: row.points.iter().map(|p| p.shown.srgb_out_of_gamut).collect(),
            })
            .collect(),
        bands: first.bands.iter().map(|b| Band { from: b.from, to: b.to, name: b.name.clone() }).collect(),
        mark,
        caption,
    }
}

/// The ribbon of a way: the wanted colour above its setting, and the span in which it holds.
pub fn way_figure(
    drawn: &WayRibbon,
    wanted: &str,
    window: Option<(f64, f64)>,
    conditions: &Conditions,
) -> RibbonFigure {
    let (at, unit) = (drawn.at, drawn.ribbon.unit);
    let label = format!("wanted; set {at:.1} {unit}");
    ribbon_figure(&drawn.ribbon, conditions, Some(Mark { at, window, label, wanted: Some(wanted.to_owned()) }))
}

/// The best `most` ways beside the wanted colour.
pub fn board(found: &Match, most: usize, conditions: &Conditions) -> BoardFigure {
    let cards =
        found.ways.iter().filter(|w| w.feasible).take(most).enumerate().map(|(i, way)| card(i + 1, way)).collect();
    BoardFigure {
        title: format!("Ways to {}", found.target.given),
        wanted: found.target.shown.srgb.clone(),
        wanted_words: "wanted".to_owned(),
        cards,
        caption: format!(
            "Left the wanted colour, beside it what the way makes, then the same tilted by {}. Chance: share of runs within \
             a difference of {LAND_DELTA_E} (CIEDE2000), with constants as uncertain as the sources leave them. Seen under \
             {}. Screens and print differ.",
            DRIFT_TILTS_DEG.map(|t| format!("{t}\u{b0}")).join(" and "),
            conditions.words()
        ),
    }
}

fn card(number: usize, way: &Way) -> Card {
    let mut colours = vec![("made".to_owned(), way.srgb.clone().unwrap_or_default())];
    colours.extend(way.drift.iter().map(|d| (format!("{}\u{b0}", d.tilt_deg), d.shown.srgb.clone())));
    let (start, steps) = way.title.split_once(": ").unwrap_or(("", &way.title));
    let lines = vec![steps.to_owned(), way.set.clone(), odds_words(way)];
    Card { colours, heading: format!("{number}. {start}"), lines }
}

/// The spectrum of a look.
pub fn spectrum_figure(seen: &Look, title: &str, conditions: &Conditions) -> SpectrumFigure {
    SpectrumFigure {
        title: title.to_owned(),
        wavelength_nm: seen.spectrum.wavelength_nm.clone(),
        reflectance_percent: seen.spectrum.reflectance.iter().map(|r| 100.0 * r).collect(),
        colour: seen.shown.srgb.clone(),
        caption: format!(
            "L* {:.1}, a* {:+.1}, b* {:+.1} ({}) under {}. Screens and print differ.",
            seen.lab[0],
            seen.lab[1],
            seen.lab[2],
            seen.shown.name,
            conditions.words()
        ),
    }
}
