//! Places in the load and on the part, as swatches one below another.

use super::{MARGIN, PlaceColumn, PlaceMark, SMALL, WIDTH};
use crate::text::{FAINT, Hang, INK, count, cross, escape, fitting, line};

const CELL: f64 = 68.0;
const SWATCH: f64 = 54.0;
const BETWEEN: f64 = 14.0;

/// Columns by turns left and right, each below the last of its side.
pub(super) fn panel(columns: &[PlaceColumn], y: f64) -> (String, f64) {
    let wide = 0.5 * (WIDTH - 2.0 * MARGIN - BETWEEN);
    let mut svg = String::new();
    let mut ends = [y + 10.0; 2];
    for (i, column) in columns.iter().enumerate() {
        let (side, top) = (i % 2, ends[i % 2]);
        let x = MARGIN + count(side) * (wide + BETWEEN);
        let size = fitting(&column.heading, SMALL, wide);
        svg.push_str(&line(x, top, size, Hang::Start, FAINT, &column.heading));
        for (n, place) in column.places.iter().enumerate() {
            svg.push_str(&cell(place, x, top + 10.0 + count(n) * CELL, wide));
        }
        ends[side] = top + 10.0 + count(column.places.len()) * CELL + 20.0;
    }
    (svg, ends[0].max(ends[1]) - 22.0)
}

fn cell(place: &PlaceMark, x: f64, y: f64, wide: f64) -> String {
    let mut svg = format!(
        "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{SWATCH}\" height=\"{SWATCH}\" rx=\"3\" fill=\"{}\" stroke=\"{INK}\" stroke-width=\"0.6\"/>\n",
        escape(&place.colour)
    );
    if place.fails {
        svg.push_str(&cross(x + SWATCH - 12.0, y + 12.0));
    }
    let (left, room) = (x + SWATCH + 9.0, wide - SWATCH - 9.0);
    for (i, text) in std::iter::once(&place.name).chain(&place.lines).enumerate() {
        let size = fitting(text, SMALL, room);
        svg.push_str(&line(left, y + 14.0 + 18.0 * count(i), size, Hang::Start, INK, text));
    }
    svg
}

pub(super) fn summary(columns: &[PlaceColumn]) -> String {
    let list: Vec<String> = columns
        .iter()
        .map(|c| {
            let places: Vec<String> = c
                .places
                .iter()
                .map(|p| {
                    let fails = if p.fails { ", outside the limits" } else { "" };
                    format!("{}: {}{fails}", p.name, p.lines.join(", "))
                })
                .collect();
            format!("{}: {}", c.heading, places.join("; "))
        })
        .collect();
    list.join(". ")
}
