//! Cathode volts against the flow of the reactive gas: the fitted curve, what the shop read, where it jumps.

use super::{FlowCurve, LEFT, MARGIN, SMALL, WIDTH, told};
use crate::axes::{Axes, GRID, few, span};
use crate::text::{FAINT, Hang, INK, PAPER, line, over};

const TALL: f64 = 210.0;

/// A stretch of the curve that a flow alone holds, or that it does not.
struct Run {
    steady: bool,
    points: Vec<[f64; 2]>,
}

/// The curve in its stretches, each joined to the next.
fn runs(f: &FlowCurve) -> Vec<Run> {
    let mut list: Vec<Run> = Vec::new();
    for (point, steady) in f.curve.iter().zip(&f.steady) {
        match list.last_mut() {
            Some(run) if run.steady == *steady => run.points.push(*point),
            last => {
                let before = last.and_then(|run| run.points.last().copied());
                list.push(Run { steady: *steady, points: before.into_iter().chain([*point]).collect() });
            }
        }
    }
    list
}

/// Volts of a stretch at a flow, straight between its points.
fn volts(run: &Run, flow: f64) -> Option<f64> {
    run.points.windows(2).find_map(|w| {
        let ([x0, y0], [x1, y1]) = (w[0], w[1]);
        ((x0 - flow) * (x1 - flow) <= 0.0)
            .then(|| y0 + (y1 - y0) * (flow - x0) / (x1 - x0).abs().max(1e-12) * (x1 - x0).signum())
    })
}

pub(super) fn panel(f: &FlowCurve, y: f64) -> (String, f64) {
    let marks = f.jumps.into_iter().flatten().chain(f.chosen);
    let read = || f.up.iter().chain(&f.down);
    let far = span(read().map(|p| p[0]).chain(marks)).map_or(1.0, |s| 1.1 * s[1]);
    let inside = f.curve.iter().filter(|p| p[0] <= far);
    let [low, high] = span(read().chain(inside).map(|p| p[1])).unwrap_or([0.0, 1.0]);
    let room = (0.06 * (high - low)).max(1.0);
    let axes = Axes {
        x: LEFT,
        y: y + 44.0,
        wide: WIDTH - LEFT - MARGIN - 8.0,
        tall: TALL,
        across: [0.0, far],
        up: [low - room, high + room],
    };
    let mut svg = axes.frame(&format!("flow of {}, sccm", f.gas), "", &few([0.0, far]));
    svg.push_str(&line(MARGIN, y + 12.0, SMALL, Hang::Start, INK, "cathode, V"));
    svg.push_str(&ground(f, &axes));
    let runs = runs(f);
    for run in &runs {
        let points = run.points.iter().copied().filter(|p| p[0] <= far);
        svg.push_str(&format!(
            "<path d=\"{}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"2\" stroke-linejoin=\"round\" stroke-dasharray=\"{}\"/>\n",
            axes.path(points),
            if run.steady { "none" } else { "5 4" }
        ));
    }
    if let Some(jumps) = f.jumps {
        svg.push_str(&arrows(&runs, jumps, &axes));
    }
    svg.push_str(&read_points(f, &axes));
    let (key, bottom) = key(f, y + 44.0 + TALL + 62.0);
    svg.push_str(&key);
    let (text, bottom) = told(bottom + 6.0, &f.words.iter().map(|w| format!("{w}. ")).collect::<String>());
    svg.push_str(&text);
    (svg, bottom - 8.0)
}

/// The flow of the step, and the span in which the shop's colours lie.
fn ground(f: &FlowCurve, axes: &Axes) -> String {
    let mut svg = String::new();
    if let Some([from, to]) = f.known {
        let (x0, x1) = (axes.x_of(from), axes.x_of(to));
        svg.push_str(&format!(
            "<rect x=\"{x0:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"6\" fill=\"{FAINT}\"/>\n",
            axes.y + axes.tall - 6.0,
            x1 - x0
        ));
    }
    if let Some(flow) = f.chosen {
        let x = axes.x_of(flow);
        svg.push_str(&format!(
            "<path d=\"M{x:.1} {:.1} v{:.1}\" stroke=\"{INK}\" stroke-width=\"1.4\" stroke-dasharray=\"1 3\" stroke-linecap=\"round\"/>\n",
            axes.y - 4.0,
            axes.tall + 4.0
        ));
        let words = format!("set: {flow:.1} sccm");
        let half = 0.5 * crate::text::width(&words, SMALL);
        let at = x.clamp(axes.x + half, axes.x + axes.wide - half);
        svg.push_str(&line(at, axes.y - 12.0, SMALL, Hang::Middle, INK, &words));
    }
    svg
}

/// Where the process jumps from one side to the other.
fn arrows(runs: &[Run], [up, down]: [f64; 2], axes: &Axes) -> String {
    let mut svg = String::new();
    let steady: Vec<&Run> = runs.iter().filter(|r| r.steady).collect();
    let (Some(first), Some(last)) = (steady.first(), steady.last()) else { return svg };
    let ends = |from: Option<f64>, to: Option<f64>| from.zip(to);
    for (flow, found, words, hang, aside) in [
        (up, ends(first.points.last().map(|p| p[1]), volts(last, up)), "jumps at", Hang::Start, 8.0),
        (down, ends(last.points.first().map(|p| p[1]), volts(first, down)), "back at", Hang::End, -8.0),
    ] {
        let Some((from, to)) = found else { continue };
        let (x, y0, y1) = (axes.x_of(flow), axes.y_of(from), axes.y_of(to));
        let way = (y1 - y0).signum();
        svg.push_str(&format!(
            "<path d=\"M{x:.1} {y0:.1} V{:.1}\" stroke=\"{INK}\" stroke-width=\"1.4\"/>\n\
             <path d=\"M{x:.1} {y1:.1} l-5 {:.1} h10 Z\" fill=\"{INK}\"/>\n",
            y1 - 8.0 * way,
            -10.0 * way
        ));
        svg.push_str(&over(x + aside, 0.5 * (y0 + y1) + 5.0, SMALL, hang, &format!("{words} {flow:.1}")));
    }
    svg
}

/// Rising: full, point up; falling: empty, point down.
fn read_points(f: &FlowCurve, axes: &Axes) -> String {
    let mut svg = String::new();
    for (points, rising) in [(&f.up, true), (&f.down, false)] {
        for [flow, v] in points {
            svg.push_str(&mark(axes.x_of(*flow), axes.y_of(*v), rising));
        }
    }
    svg
}

fn mark(x: f64, y: f64, rising: bool) -> String {
    let (shape, fill) = if rising {
        (format!("M{x:.1} {:.1} l5 9 h-10 Z", y - 6.0), INK)
    } else {
        (format!("M{x:.1} {:.1} l5 -9 h-10 Z", y + 6.0), PAPER)
    };
    format!("<path d=\"{shape}\" fill=\"{fill}\" stroke=\"{INK}\" stroke-width=\"1.3\"/>\n")
}

/// Draws a sample at a place.
type Drawn = Box<dyn Fn(f64, f64) -> String>;

/// What the marks and lines mean.
fn key(f: &FlowCurve, y: f64) -> (String, f64) {
    let column = 0.5 * (WIDTH - 2.0 * MARGIN);
    let stroke = |x: f64, y: f64, dashes: &str| {
        format!("<path d=\"M{x:.1} {y:.1} h22\" stroke=\"{INK}\" stroke-width=\"2\" stroke-dasharray=\"{dashes}\"/>\n")
    };
    let mut rows: Vec<(Drawn, &str)> = vec![
        (Box::new(|x, y| mark(x + 11.0, y, true)), "read, flow rising"),
        (Box::new(|x, y| mark(x + 11.0, y, false)), "read, flow falling"),
        (Box::new(move |x, y| stroke(x, y, "none")), "fitted"),
    ];
    if f.steady.iter().any(|s| !s) {
        rows.push((Box::new(move |x, y| stroke(x, y, "5 4")), "no flow alone holds it"));
    }
    if f.known.is_some() {
        let bar = |x: f64, y: f64| {
            format!("<rect x=\"{x:.1}\" y=\"{:.1}\" width=\"22\" height=\"6\" fill=\"{FAINT}\"/>\n", y - 3.0)
        };
        rows.push((Box::new(bar), "colours known here"));
    }
    let mut svg = String::new();
    for (i, (drawn, words)) in rows.iter().enumerate() {
        let (x, y) = (MARGIN + crate::text::count(i % 2) * column, y + crate::text::count(i / 2) * 20.0);
        svg.push_str(&drawn(x, y - 4.0));
        svg.push_str(&line(x + 32.0, y, SMALL, Hang::Start, INK, words));
    }
    // A hair of grid keeps the key apart from the words.
    let bottom = y + crate::text::count(rows.len().div_ceil(2)) * 20.0;
    svg.push_str(&format!(
        "<path d=\"M{MARGIN} {:.1} h{:.1}\" stroke=\"{GRID}\" stroke-width=\"1\"/>\n",
        bottom - 10.0,
        WIDTH - 2.0 * MARGIN
    ));
    (svg, bottom + 6.0)
}

pub(super) fn summary(f: &FlowCurve) -> String {
    let jumps = f.jumps.map_or("no jump".to_owned(), |[up, down]| {
        format!("jumps at {up:.1} sccm while the flow rises, back at {down:.1} while it falls")
    });
    let chosen = f.chosen.map_or(String::new(), |flow| format!(", set {flow:.1} sccm"));
    format!("cathode volts against the flow of {}: {jumps}{chosen}", f.gas)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_curve_falls_into_stretches_that_touch() {
        let f = FlowCurve {
            gas: "nitrogen".to_owned(),
            curve: vec![[0.0, 440.0], [10.0, 420.0], [8.0, 390.0], [6.0, 370.0], [12.0, 350.0]],
            steady: vec![true, true, false, true, true],
            up: Vec::new(),
            down: Vec::new(),
            jumps: Some([10.0, 6.0]),
            chosen: None,
            known: None,
            words: Vec::new(),
        };
        let list = runs(&f);
        assert_eq!(list.iter().map(|r| r.steady).collect::<Vec<_>>(), [true, false, true]);
        assert_eq!(list[1].points.first(), list[0].points.last());
        assert_eq!(volts(&list[0], 5.0), Some(430.0));
        assert_eq!(volts(&list[2], 9.0), Some(360.0));
        assert_eq!(volts(&list[2], 90.0), None);
    }
}
