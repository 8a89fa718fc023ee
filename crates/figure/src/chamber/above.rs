//! The chamber from above: targets, table or satellites, the way of one part, and what it gains through one turn.

use super::{Above, LEFT, MARGIN, SMALL, TargetMark, WIDTH, told};
use crate::axes::{Axes, GRID, span};
use crate::ribbon::short;
use crate::text::{FAINT, Hang, INK, PAPER, line, over, width};

/// Side of the plan.
const SIDE: f64 = 330.0;
/// Room for the names of the targets.
const EDGE: f64 = 30.0;
/// Steps in which the way is drawn thicker and darker.
const LEVELS: [(f64, &str); 6] =
    [(1.6, "#bcbdb9"), (2.6, "#9a9d9e"), (3.8, "#7b7f83"), (5.0, "#5c6166"), (6.2, "#3e4348"), (7.4, INK)];
const STEPS: f64 = 160.0;

struct Plane {
    x: f64,
    y: f64,
    scale: f64,
}

impl Plane {
    fn at(&self, [x, y]: [f64; 2]) -> (f64, f64) {
        (self.x + x * self.scale, self.y - y * self.scale)
    }
}

pub(super) fn panel(a: &Above, y: f64) -> (String, f64) {
    let targets = a.targets.iter().map(|t| libm::hypot(t.at_mm[0], t.at_mm[1]));
    let reach = targets.fold(a.table_mm + a.satellite_mm, f64::max).max(1.0);
    let scale = (0.5 * SIDE - EDGE) / reach;
    // No paper is spent above and below where no target stands.
    let tall = a.targets.iter().map(|t| t.at_mm[1].abs()).fold(a.table_mm + a.satellite_mm, f64::max) * scale + EDGE;
    let plane = Plane { x: 0.5 * WIDTH, y: y + tall, scale };
    let mut svg = table(a, &plane);
    svg.push_str(&way(a, &plane));
    for (target, name) in named(a) {
        svg.push_str(&bar(target, &name, &plane));
    }
    svg.push_str(&turning(a, &plane));
    let most = span(a.rate.iter().copied()).map_or(0.0, |s| s[1]);
    let still = a.turning.is_none();
    let words = if still {
        format!("T: targets. Parts stand still; one in the middle of the load gets {} {}.", short(most), a.rate_unit)
    } else {
        format!(
            "T: targets. The line is the way of one part, drawn at 0 degrees, through one turn: thick and dark where its film grows fast (up to {most:.1} {}), thin and pale where little arrives.",
            a.rate_unit
        )
    };
    let (text, bottom) = told(y + 2.0 * tall + 16.0, &words);
    svg.push_str(&text);
    if still || a.laid.is_empty() {
        return (svg, bottom);
    }
    let (chart, bottom) = steps(a, bottom + 20.0);
    svg.push_str(&chart);
    (svg, bottom)
}

/// Table, satellites, and how far they stand from the axis.
fn table(a: &Above, plane: &Plane) -> String {
    let ring = |(x, y): (f64, f64), r: f64, dashes: &str| {
        format!(
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{:.1}\" fill=\"none\" stroke=\"{FAINT}\" stroke-width=\"1.2\" stroke-dasharray=\"{dashes}\"/>\n",
            r * plane.scale
        )
    };
    let axis = plane.at([0.0; 2]);
    let mut svg = ring(axis, a.table_mm, "4 4");
    for satellite in &a.satellites_mm {
        svg.push_str(&ring(plane.at(*satellite), a.satellite_mm, "none"));
    }
    // Down to the right, where neither the first part nor a target at 0 degrees is.
    let angle = (-52.0_f64).to_radians();
    let end = plane.at([a.table_mm * libm::cos(angle), a.table_mm * libm::sin(angle)]);
    svg.push_str(&format!(
        "<path d=\"M{:.1} {:.1} L{:.1} {:.1}\" stroke=\"{FAINT}\" stroke-width=\"1\"/>\n\
         <path d=\"M{:.1} {:.1} h8 m-4 -4 v8\" stroke=\"{INK}\" stroke-width=\"1.2\"/>\n",
        axis.0,
        axis.1,
        end.0,
        end.1,
        axis.0 - 4.0,
        axis.1
    ));
    let middle = (axis.0 + 0.62 * (end.0 - axis.0), axis.1 + 0.62 * (end.1 - axis.1));
    svg.push_str(&over(middle.0, middle.1 + 5.0, SMALL, Hang::Middle, &format!("{} mm", short(a.table_mm))));
    svg
}

/// The way of one part; runs of one level are one stroke.
fn way(a: &Above, plane: &Plane) -> String {
    let most = span(a.rate.iter().copied()).map_or(0.0, |s| s[1]).max(1e-12);
    // By the root, so that what passes a target far off shows as well.
    let level = |i: usize| {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "one of six levels")]
        let level = (5.999 * (a.rate.get(i).copied().unwrap_or(0.0) / most).max(0.0).sqrt()) as usize;
        level.min(LEVELS.len() - 1)
    };
    let mut svg = String::new();
    let mut i = 0;
    while i + 1 < a.path_mm.len() {
        let here = level(i);
        let mut end = i + 1;
        while end + 1 < a.path_mm.len() && level(end) == here {
            end += 1;
        }
        let points: Vec<String> = a.path_mm[i..=end]
            .iter()
            .map(|p| {
                let (x, y) = plane.at(*p);
                format!("{x:.1} {y:.1}")
            })
            .collect();
        let (wide, shade) = LEVELS[here];
        svg.push_str(&format!(
            "<path d=\"M{}\" fill=\"none\" stroke=\"{shade}\" stroke-width=\"{wide}\" stroke-linecap=\"round\" stroke-linejoin=\"round\"/>\n",
            points.join(" L")
        ));
        i = end;
    }
    if let Some(first) = a.path_mm.first() {
        let (x, y) = plane.at(*first);
        svg.push_str(&format!(
            "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"6\" fill=\"{PAPER}\" stroke=\"{INK}\" stroke-width=\"2\"/>\n"
        ));
        svg.push_str(&over(x - 12.0, y + 5.0, SMALL, Hang::End, "part"));
    }
    svg
}

/// A target: its track across its bearing, its name behind it.
fn bar(target: &TargetMark, name: &str, plane: &Plane) -> String {
    let bearing = target.bearing_deg.to_radians();
    let (sin, cos) = (libm::sin(bearing), libm::cos(bearing));
    let half = 0.5 * target.width_mm;
    let end = |side: f64| plane.at([target.at_mm[0] - side * half * sin, target.at_mm[1] + side * half * cos]);
    let ((x0, y0), (x1, y1)) = (end(-1.0), end(1.0));
    let (x, y) = plane.at(target.at_mm);
    // Beside the track, however long the name.
    let away = 10.0 + 0.5 * width(name, SMALL);
    format!(
        "<path d=\"M{x0:.1} {y0:.1} L{x1:.1} {y1:.1}\" stroke=\"{INK}\" stroke-width=\"9\"/>\n{}",
        line(x + away * cos, y - 19.0 * sin + 5.0, SMALL, Hang::Middle, INK, name)
    )
}

/// Targets with their names, by bearing; those above one another share a place, and are named together.
fn named(a: &Above) -> Vec<(&TargetMark, String)> {
    let mut list: Vec<(&TargetMark, String)> = Vec::new();
    for (i, target) in a.targets.iter().enumerate() {
        let apart =
            |other: &TargetMark| libm::hypot(other.at_mm[0] - target.at_mm[0], other.at_mm[1] - target.at_mm[1]) > 1.0;
        match list.iter_mut().find(|(other, _)| !apart(other)) {
            Some((_, name)) => name.push_str(&format!(" T{}", i + 1)),
            None => list.push((target, format!("T{}", i + 1))),
        }
    }
    list
}

/// An arrow about the axis, and how fast.
fn turning(a: &Above, plane: &Plane) -> String {
    let Some(words) = &a.turning else { return String::new() };
    let (x, y) = plane.at([0.0; 2]);
    // From 30 to 150 degrees, the way the table turns.
    format!(
        "<path d=\"M{:.1} {:.1} A26 26 0 0 0 {:.1} {:.1}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"1.6\"/>\n\
         <path d=\"M{:.1} {:.1} l1 -9 l8 5 Z\" fill=\"{INK}\"/>\n{}",
        x + 22.5,
        y - 13.0,
        x - 22.5,
        y - 13.0,
        x - 24.5,
        y - 9.0,
        over(x, y - 34.0, SMALL, Hang::Middle, words)
    )
}

/// What has been laid while the table turns once.
fn steps(a: &Above, y: f64) -> (String, f64) {
    let top = span(a.laid.iter().copied()).map_or(1.0, |s| s[1]);
    let axes = Axes {
        x: LEFT,
        y: y + 34.0,
        wide: WIDTH - LEFT - MARGIN - 8.0,
        tall: STEPS - 70.0,
        across: [0.0, 360.0],
        up: [0.0, top],
    };
    let mut svg = axes.frame("turn of the table, degrees", "", &[0.0, 90.0, 180.0, 270.0, 360.0]);
    svg.push_str(&line(MARGIN, y + 3.0, SMALL, Hang::Start, INK, &a.laid_label));
    for (target, name) in named(a) {
        let x = axes.x_of(target.bearing_deg.rem_euclid(360.0));
        svg.push_str(&format!(
            "<path d=\"M{x:.1} {:.1} v{:.1}\" stroke=\"{GRID}\" stroke-width=\"1.6\" stroke-dasharray=\"3 3\"/>\n",
            axes.y, axes.tall
        ));
        svg.push_str(&line(x, axes.y - 9.0, SMALL, Hang::Middle, INK, &name));
    }
    let points = std::iter::once([0.0; 2]).chain(a.turn_deg.iter().zip(&a.laid).map(|(d, l)| [*d, *l]));
    svg.push_str(&format!(
        "<path d=\"{}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"2\" stroke-linejoin=\"round\"/>\n",
        axes.path(points)
    ));
    (svg, y + STEPS + 12.0)
}

pub(super) fn summary(a: &Above) -> String {
    let bearings: Vec<String> = a.targets.iter().map(|t| format!("{}", t.bearing_deg)).collect();
    let satellites = match a.satellites_mm.len() {
        0 => String::new(),
        n => format!(", {n} satellites of {} mm", short(a.satellite_mm)),
    };
    let most = span(a.rate.iter().copied()).map_or(0.0, |s| s[1]);
    format!(
        "from above: targets at {} degrees, table of {} mm{satellites}, {}; the film grows by up to {most:.1} {}, {} after one turn: {}",
        bearings.join(", "),
        short(a.table_mm),
        a.turning.as_deref().unwrap_or("still"),
        a.rate_unit,
        a.laid_label,
        a.laid.last().map_or_else(|| "none".to_owned(), |l| format!("{l:.2}"))
    )
}
