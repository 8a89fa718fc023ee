//! Answers as figures.

use crate::outcome::Failure;
use figure::{Band, BoardFigure, Card, Mark, RibbonFigure, Strip};
use huewright::matching::{DRIFT_TILTS_DEG, LAND_DELTA_E, Match, Way};
use huewright::ribbon::{Ribbon, Row};
use std::path::Path;

/// Pixels to a unit of a figure.
const SCALE: f32 = 1.5;

pub(crate) fn to_png(svg: &str) -> Result<Vec<u8>, Failure> {
    figure::png(svg, SCALE).map_err(|e| Failure::Words(e.to_string()))
}

/// Writes SVG, or PNG when the name ends so.
pub(crate) fn write(path: &Path, svg: &str) -> Result<(), Failure> {
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    if !["svg", "png"].contains(&ending.as_str()) {
        return Err(Failure::Words(format!("{}: a picture ends in .svg or .png", path.display())));
    }
    if ending == "png" { crate::input::write(path, &to_png(svg)?) } else { crate::input::write(path, svg.as_bytes()) }
}

/// Runs of one name along a row.
pub(crate) fn bands(row: &Row) -> Vec<Band> {
    let mut list: Vec<Band> = Vec::new();
    for point in &row.points {
        match list.last_mut() {
            Some(last) if last.name == point.name => last.to = point.value,
            _ => list.push(Band { from: point.value, to: point.value, name: point.name.clone() }),
        }
    }
    list
}

pub(crate) fn ribbon_figure(ribbon: &Ribbon, light: &str, mark: Option<Mark>) -> RibbonFigure {
    let first = &ribbon.rows[0];
    let words = match ribbon.setting {
        "voltage_v" => "voltage",
        "temperature_c" => "temperature",
        "minutes" => "time",
        _ => "film thickness",
    };
    let mut caption = format!("Light {light}. Screens and print differ.");
    if mark.as_ref().is_some_and(|m| m.window.is_some()) {
        caption.push_str(" The bar above the mark spans the settings in which the colour holds.");
    }
    if ribbon.rows.iter().flat_map(|r| &r.points).any(|p| p.srgb_out_of_gamut) {
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
                colours: row.points.iter().map(|p| p.srgb.clone()).collect(),
                out_of_gamut: row.points.iter().map(|p| p.srgb_out_of_gamut).collect(),
            })
            .collect(),
        bands: bands(first),
        mark,
        caption,
    }
}

/// The best ways beside the wanted colour.
pub(crate) fn board(found: &Match, most: usize) -> BoardFigure {
    let cards =
        found.ways.iter().filter(|w| w.feasible).take(most).enumerate().map(|(i, way)| card(i + 1, way)).collect();
    BoardFigure {
        title: format!("Ways to {}", found.target.given),
        wanted: found.target.srgb.clone(),
        wanted_words: "wanted".to_owned(),
        cards,
        caption: format!(
            "Left the wanted colour, beside it what the way makes, then the same tilted by {}. Chance: share of runs within \
             a difference of {LAND_DELTA_E} (CIEDE2000), with constants as uncertain as the sources leave them. Screens and \
             print differ.",
            DRIFT_TILTS_DEG.map(|t| format!("{t}\u{b0}")).join(" and ")
        ),
    }
}

fn card(number: usize, way: &Way) -> Card {
    let mut colours = vec![("made".to_owned(), way.srgb.clone().unwrap_or_default())];
    colours.extend(way.drift.iter().map(|d| (format!("{}\u{b0}", d.tilt_deg), d.srgb.clone())));
    let [doing, set] = crate::matching::steps_lines(way);
    let (start, steps) = doing.split_once(": ").unwrap_or(("", &doing));
    let lines = vec![steps.to_owned(), set, crate::matching::odds_line(way)];
    Card { colours, heading: format!("{number}. {start}"), lines }
}
