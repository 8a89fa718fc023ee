//! A row for each region: greatest chroma by hue, and the span of L* by hue.

use super::{GamutFigure, OUTLINED, Region, SMALL, count, dashes, tag};
use crate::text::{FAINT, Hang, INK, escape, fitting, line};

const GRID: &str = "#dedcd5";
/// What a row holds above and below its small charts.
const HEAD: f64 = 28.0;
/// Between the two columns.
const GAP: f64 = 34.0;

/// One small chart: hue runs across, a quantity up.
#[derive(Clone, Copy)]
struct Small {
    x: f64,
    y: f64,
    wide: f64,
    tall: f64,
    most: f64,
}

impl Small {
    fn up(&self, value: f64) -> f64 {
        self.y + self.tall - (value / self.most).clamp(0.0, 1.0) * self.tall
    }

    fn across(&self, hue_deg: f64) -> f64 {
        self.x + hue_deg / 360.0 * self.wide
    }
}

/// The rows of the regions `from..to`, one below another.
pub(super) fn rows(figure: &GamutFigure, [from, to]: [usize; 2], (x, y): (f64, f64), wide: f64, tall: f64) -> String {
    let column = 0.5 * (wide - GAP);
    let sectors = figure.regions.iter().flat_map(|r| r.sectors.iter().flatten());
    let asked = figure.wanted.as_ref().map_or(0.0, |w| libm::hypot(w.lab[1], w.lab[2]));
    // A round top, so that its tick is round too.
    let most = (sectors.map(|s| s.chroma).fold(asked, f64::max) / 20.0).ceil().max(1.0) * 20.0;
    let mut svg = line(x, y - 14.0, SMALL, Hang::Start, INK, "How vivid: chroma C* by hue");
    svg.push_str(&line(x + column + GAP, y - 14.0, SMALL, Hang::Start, INK, "How dark, how light: L* by hue"));
    for (i, region) in figure.regions.iter().enumerate().take(to).skip(from) {
        let top = y + count(i - from) * tall;
        let last = i + 1 == to;
        svg.push_str(&head(region, i, x, top, wide));
        let chroma = Small { x, y: top + 22.0, wide: column, tall: tall - HEAD, most };
        let light = Small { x: x + column + GAP, most: 100.0, ..chroma };
        for (small, of_chroma) in [(&chroma, true), (&light, false)] {
            svg.push_str(&frame(small, last));
            svg.push_str(&bars(region, small, of_chroma));
            if let Some(wanted) = &figure.wanted {
                let [l, a, b] = wanted.lab;
                let hue = libm::atan2(b, a).to_degrees().rem_euclid(360.0);
                svg.push_str(&pointer(small, hue, if of_chroma { libm::hypot(a, b) } else { l }));
            }
        }
    }
    svg
}

/// Letter, line sample, what it is.
fn head(region: &Region, i: usize, x: f64, y: f64, wide: f64) -> String {
    let mut svg = tag(x + 9.0, y + 10.0, i);
    // What is not outlined in the chart has no line of its own.
    let drawn = if i < OUTLINED { 30.0 } else { 0.0 };
    svg.push_str(&format!(
        "<path d=\"M{:.1} {:.1} h{drawn:.0}\" stroke=\"{INK}\" stroke-width=\"1.5\" stroke-dasharray=\"{}\"/>\n",
        x + 25.0,
        y + 10.0,
        dashes(i)
    ));
    let text = format!("{}: {}", region.label, region.detail);
    let size = fitting(&text, SMALL, wide - 64.0);
    svg.push_str(&line(x + 33.0 + drawn, y + 14.5, size, Hang::Start, INK, &text));
    svg
}

fn frame(small: &Small, last: bool) -> String {
    let mut svg = String::new();
    for value in [0.0, 0.5 * small.most, small.most] {
        let y = small.up(value);
        let stroke = if value > 0.0 { GRID } else { FAINT };
        svg.push_str(&format!(
            "<path d=\"M{:.1} {y:.1} h{:.1}\" stroke=\"{stroke}\" stroke-width=\"1\"/>\n",
            small.x, small.wide
        ));
        svg.push_str(&line(small.x - 5.0, y + 3.5, 10.0, Hang::End, FAINT, &format!("{value:.0}")));
    }
    if last {
        for hue in [0.0, 90.0, 180.0, 270.0, 360.0] {
            let x = small.across(hue);
            svg.push_str(&line(x, small.y + small.tall + 14.0, 11.0, Hang::Middle, INK, &format!("{hue:.0}\u{b0}")));
        }
        let words = "hue: 0\u{b0} red, 90\u{b0} yellow, 180\u{b0} green, 270\u{b0} blue";
        let size = fitting(words, 11.0, small.wide);
        svg.push_str(&line(small.x + 0.5 * small.wide, small.y + small.tall + 29.0, size, Hang::Middle, FAINT, words));
    }
    svg
}

fn bars(region: &Region, small: &Small, of_chroma: bool) -> String {
    let each = small.wide / count(region.sectors.len().max(1));
    let mut svg = String::new();
    for (s, sector) in region.sectors.iter().enumerate() {
        let Some(sector) = sector else { continue };
        let [low, high] = if of_chroma { [0.0, sector.chroma] } else { sector.lightness };
        // A span of one lightness is a mark all the same.
        let (top, bottom) = (small.up(high), small.up(low).max(small.up(high) + 2.0));
        svg.push_str(&format!(
            "<rect x=\"{:.1}\" y=\"{top:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"{}\" stroke=\"{INK}\" stroke-width=\"0.4\"/>\n",
            small.x + count(s) * each,
            each,
            bottom - top,
            escape(&sector.srgb)
        ));
    }
    svg
}

/// The wanted colour: a line at its hue, a ring at its height.
fn pointer(small: &Small, hue_deg: f64, value: f64) -> String {
    let (x, y) = (small.across(hue_deg), small.up(value));
    format!(
        "<path d=\"M{x:.1} {:.1} v{:.1}\" stroke=\"{INK}\" stroke-width=\"0.9\" stroke-dasharray=\"2 2\"/>\n\
         <circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"4\" fill=\"none\" stroke=\"#ffffff\" stroke-width=\"3.4\"/>\n\
         <circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"4\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"1.6\"/>\n",
        small.y, small.tall
    )
}
