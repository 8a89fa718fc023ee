//! The a*, b* chart: squares in their own colours, outlines, lines with marks, the wanted colour.

use super::outline::outlines;
use super::{GamutFigure, OUTLINED, Region, SMALL, count, dashes, tag};
use crate::ribbon::ticks;
use crate::text::{FAINT, Hang, INK, PAPER, escape, line, width};
use std::collections::BTreeSet;

/// Islands and holes of less than this share of all squares are left to the painted squares: they clutter an outline.
const LEAST_SHARE: f64 = 0.08;
const GRID: &str = "#dedcd5";

/// Where a* and b* lie on the paper.
struct Plane {
    x: f64,
    y: f64,
    size: f64,
    from: [f64; 2],
    side: f64,
}

impl Plane {
    /// A square span around everything that is drawn and the neutral point.
    fn of(figure: &GamutFigure, x: f64, y: f64, size: f64) -> Self {
        let (mut low, mut high) = ([-20.0_f64; 2], [20.0_f64; 2]);
        let mut hold = |a: f64, b: f64| {
            for (i, v) in [a, b].into_iter().enumerate() {
                low[i] = low[i].min(v);
                high[i] = high[i].max(v);
            }
        };
        for patch in figure.regions.iter().flat_map(|r| &r.patches) {
            hold(patch.a, patch.b);
        }
        if let Some(wanted) = &figure.wanted {
            hold(wanted.lab[1], wanted.lab[2]);
        }
        let side = (high[0] - low[0]).max(high[1] - low[1]) + 12.0 * figure.cell.max(1.0) / 4.0;
        let from = [0, 1].map(|i| 0.5 * (low[i] + high[i] - side));
        Self { x, y, size, from, side }
    }

    fn at(&self, a: f64, b: f64) -> (f64, f64) {
        let share = |v: f64, from: f64| (v - from) / self.side * self.size;
        (self.x + share(a, self.from[0]), self.y + self.size - share(b, self.from[1]))
    }
}

pub(super) fn chart(figure: &GamutFigure, x: f64, y: f64, size: f64) -> String {
    let plane = Plane::of(figure, x, y, size);
    let mut svg = grid(&plane);
    svg.push_str(&squares(figure, &plane));
    // The wanted colour and its words keep their place.
    let mut taken: Vec<(f64, f64)> = Vec::new();
    if let Some(wanted) = &figure.wanted {
        let (px, py) = plane.at(wanted.lab[1], wanted.lab[2]);
        let (left, wide, _) = words_of(wanted, &plane);
        taken.extend([(px, py), (left + wide, py)]);
        taken.extend((0..20_u8).map(|i| (left + f64::from(i) * wide / 20.0, py)));
    }
    for (i, region) in figure.regions.iter().enumerate().take(OUTLINED) {
        svg.push_str(&if region.lines.is_empty() {
            outline(region, i, figure.cell, &plane)
        } else {
            lines(region, i, &plane)
        });
    }
    if let Some(wanted) = &figure.wanted {
        svg.push_str(&cross(wanted, &plane));
    }
    for (i, region) in figure.regions.iter().enumerate().take(OUTLINED) {
        svg.push_str(&letter_at(region, i, &plane, &mut taken));
    }
    svg
}

fn grid(plane: &Plane) -> String {
    let Plane { x, y, size, .. } = *plane;
    let mut svg = line(x, y - 14.0, SMALL, Hang::Start, INK, "Colours reached: redness a* across, yellowness b* up");
    for (i, word) in ["a*", "b*"].into_iter().enumerate() {
        let end = plane.from[i] + plane.side;
        for tick in ticks(plane.from[i], end) {
            let (px, py) = if i == 0 { plane.at(tick, 0.0) } else { plane.at(0.0, tick) };
            let neutral = tick.abs() < 1e-9;
            let (stroke, wide) = if neutral { (FAINT, 1.2) } else { (GRID, 1.0) };
            let path =
                if i == 0 { format!("M{px:.1} {y:.1} v{size:.1}") } else { format!("M{x:.1} {py:.1} h{size:.1}") };
            svg.push_str(&format!("<path d=\"{path}\" stroke=\"{stroke}\" stroke-width=\"{wide}\"/>\n"));
            let text = format!("{tick:+.0}").replace("+0", "0");
            svg.push_str(&if i == 0 {
                line(px, y + size + 18.0, SMALL, Hang::Middle, INK, &text)
            } else {
                line(x - 8.0, py + 4.5, SMALL, Hang::End, INK, &text)
            });
        }
        svg.push_str(&if i == 0 {
            line(x + 0.5 * size, y + size + 40.0, 15.0, Hang::Middle, INK, word)
        } else {
            line(x - 50.0, y + 0.5 * size, 15.0, Hang::Start, INK, word)
        });
    }
    svg
}

/// Every square once, by the first region that holds it; a region's own squares lie over one another's.
fn squares(figure: &GamutFigure, plane: &Plane) -> String {
    let side = figure.cell / plane.side * plane.size;
    let mut painted: BTreeSet<(i32, i32)> = BTreeSet::new();
    let mut svg = String::new();
    for patch in figure.regions.iter().flat_map(|r| &r.patches) {
        if painted.insert(place(patch.a, patch.b, figure.cell)) {
            let (px, py) = plane.at(patch.a, patch.b);
            svg.push_str(&format!(
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\" fill=\"{}\"/>\n",
                px - 0.5 * side,
                py - 0.5 * side,
                side + 0.3,
                side + 0.3,
                escape(&patch.srgb)
            ));
        }
    }
    svg
}

fn place(a: f64, b: f64, cell: f64) -> (i32, i32) {
    #[expect(clippy::cast_possible_truncation, reason = "a few hundred units of a* and b*")]
    let number = |v: f64| (v / cell).round() as i32;
    (number(a), number(b))
}

/// A path in ink over a wider one in paper, so that it shows on any colour.
fn stroke(path: &str, i: usize) -> String {
    format!(
        "<path d=\"{path}\" fill=\"none\" stroke=\"{PAPER}\" stroke-width=\"3\" stroke-linejoin=\"round\" opacity=\"0.6\"/>\n\
         <path d=\"{path}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"1.5\" stroke-linejoin=\"round\" stroke-dasharray=\"{}\"/>\n",
        dashes(i)
    )
}

fn outline(region: &Region, i: usize, cell: f64, plane: &Plane) -> String {
    let set: BTreeSet<(i32, i32)> = region.patches.iter().map(|p| place(p.a, p.b, cell)).collect();
    let mut path = String::new();
    for ends in outlines(&set).into_iter().filter(|l| enclosed(l) >= LEAST_SHARE * count(set.len())) {
        // Through the middles of the sides, so that the outline runs smoothly and not in stairs.
        for (n, (from, to)) in ends.iter().zip(ends.iter().cycle().skip(1)).enumerate() {
            let middle = |p: i32, q: i32| (0.5 * f64::from(p + q) - 0.5) * cell;
            let (px, py) = plane.at(middle(from.0, to.0), middle(from.1, to.1));
            path.push_str(&format!("{}{px:.1} {py:.1} ", if n == 0 { "M" } else { "L" }));
        }
        path.push_str("Z ");
    }
    stroke(path.trim_end(), i)
}

/// How many squares an outline encloses.
fn enclosed(ends: &[(i32, i32)]) -> f64 {
    let next = ends.iter().cycle().skip(1);
    let twice: i32 = ends.iter().zip(next).map(|(p, q)| p.0 * q.1 - q.0 * p.1).sum();
    0.5 * f64::from(twice.abs())
}

/// A line with marks in the colours that pass; the shape of the mark differs from region to region.
fn lines(region: &Region, i: usize, plane: &Plane) -> String {
    /// Marks stand this far apart on the paper.
    const APART: f64 = 13.0;
    let mut svg = String::new();
    for points in &region.lines {
        let path: Vec<String> = points
            .iter()
            .map(|([a, b], _)| {
                let (px, py) = plane.at(*a, *b);
                format!("{px:.1} {py:.1}")
            })
            .collect();
        if path.is_empty() {
            continue;
        }
        svg.push_str(&stroke(&format!("M{}", path.join(" L")), i));
        let mut last: Option<(f64, f64)> = None;
        for ([a, b], colour) in points {
            let (px, py) = plane.at(*a, *b);
            if last.is_none_or(|(x, y)| libm::hypot(px - x, py - y) >= APART) {
                svg.push_str(&mark(px, py, i, colour));
                last = Some((px, py));
            }
        }
    }
    svg
}

fn mark(x: f64, y: f64, i: usize, colour: &str) -> String {
    let shape = match i % 4 {
        0 => format!("M{:.1} {y:.1} a4.2 4.2 0 1 0 8.4 0 a4.2 4.2 0 1 0 -8.4 0 Z", x - 4.2),
        1 => format!("M{:.1} {:.1} h7.6 v7.6 h-7.6 Z", x - 3.8, y - 3.8),
        2 => format!("M{x:.1} {:.1} l5 8.6 h-10 Z", y - 5.4),
        _ => format!("M{x:.1} {:.1} l5.2 5.2 l-5.2 5.2 l-5.2 -5.2 Z", y - 5.2),
    };
    format!("<path d=\"{shape}\" fill=\"{}\" stroke=\"{INK}\" stroke-width=\"0.9\"/>\n", escape(colour))
}

/// Left end, width and text of what stands beside the wanted colour.
fn words_of(wanted: &super::Wanted, plane: &Plane) -> (f64, f64, String) {
    let (px, _) = plane.at(wanted.lab[1], wanted.lab[2]);
    let words = format!("wanted: {}", wanted.words);
    let wide = width(&words, SMALL) + 10.0;
    let left = if px + 22.0 + wide > plane.x + plane.size { px - 22.0 - wide } else { px + 22.0 };
    (left, wide, words)
}

fn cross(wanted: &super::Wanted, plane: &Plane) -> String {
    let (px, py) = plane.at(wanted.lab[1], wanted.lab[2]);
    let (left, wide, words) = words_of(wanted, plane);
    format!(
        "<path d=\"M{px:.1} {:.1} v36 M{:.1} {py:.1} h36\" stroke=\"{PAPER}\" stroke-width=\"4\"/>\n\
         <path d=\"M{px:.1} {:.1} v36 M{:.1} {py:.1} h36\" stroke=\"{INK}\" stroke-width=\"1.6\"/>\n\
         <circle cx=\"{px:.1}\" cy=\"{py:.1}\" r=\"9\" fill=\"{}\" stroke=\"{PAPER}\" stroke-width=\"3.4\"/>\n\
         <circle cx=\"{px:.1}\" cy=\"{py:.1}\" r=\"10.4\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"1.4\"/>\n\
         <rect x=\"{left:.1}\" y=\"{:.1}\" width=\"{wide:.1}\" height=\"20\" rx=\"4\" fill=\"{PAPER}\" opacity=\"0.9\"/>\n{}",
        py - 18.0,
        px - 18.0,
        py - 18.0,
        px - 18.0,
        escape(&wanted.srgb),
        py - 10.0,
        line(left + 5.0, py + 4.5, SMALL, Hang::Start, INK, &words)
    )
}

/// The letter stands just outside the region, where it reaches furthest and no other letter stands.
fn letter_at(region: &Region, i: usize, plane: &Plane, taken: &mut Vec<(f64, f64)>) -> String {
    let mut far: Vec<(f64, f64)> = if region.lines.is_empty() {
        region.patches.iter().map(|p| (p.a, p.b)).collect()
    } else {
        region.lines.iter().flatten().map(|(p, _)| (p[0], p[1])).collect()
    };
    far.sort_by(|p, q| libm::hypot(q.0, q.1).total_cmp(&libm::hypot(p.0, p.1)));
    let outward = 13.0 / plane.size * plane.side;
    let spots = far.iter().map(|(a, b)| {
        let size = libm::hypot(*a, *b).max(1e-9);
        plane.at(a + outward * a / size, b + outward * b / size)
    });
    let free = |(x, y): (f64, f64), taken: &[(f64, f64)]| {
        taken.iter().all(|(u, v)| (x - u).abs() > 22.0 || (y - v).abs() > 20.0)
    };
    let spots: Vec<(f64, f64)> = spots.collect();
    let Some(spot) = spots.iter().copied().find(|s| free(*s, taken)).or_else(|| spots.first().copied()) else {
        return String::new();
    };
    taken.push(spot);
    let (low, high) = ((plane.x + 10.0, plane.y + 10.0), plane.size - 20.0);
    let hold = |v: f64, from: f64| v.clamp(from, from + high);
    tag(hold(spot.0, low.0), hold(spot.1, low.1), i)
}
