//! A coater's chamber: seen from above, its reactive gas, the film as it grows, the load. One panel below another, so that
//! it can be read on a phone beside the machine; a panel without data is left out.

mod above;
mod flow;
mod growth;
mod places;
#[cfg(test)]
mod tests;

use crate::text::{FAINT, Hang, INK, line, lines, open, wrap};

/// A target, seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TargetMark {
    /// Middle of its face from the axis of the table, mm.
    pub at_mm: [f64; 2],
    /// Where it stands around the chamber, degrees.
    pub bearing_deg: f64,
    /// Width of its track, mm.
    pub width_mm: f64,
}

/// The chamber from above.
#[derive(Debug, Clone, PartialEq)]
pub struct Above {
    /// How it turns, such as `3 rpm`; `None` where it stands still.
    pub turning: Option<String>,
    /// Axis of the table to its parts or satellites, mm.
    pub table_mm: f64,
    /// Radius of a satellite, mm; 0 without.
    pub satellite_mm: f64,
    /// Axes of the satellites, mm.
    pub satellites_mm: Vec<[f64; 2]>,
    /// The targets.
    pub targets: Vec<TargetMark>,
    /// Where one part is through one turn of the table, mm.
    pub path_mm: Vec<[f64; 2]>,
    /// How fast the film grows at each place.
    pub rate: Vec<f64>,
    /// Unit of the rate.
    pub rate_unit: String,
    /// How far the table has turned at each, degrees.
    pub turn_deg: Vec<f64>,
    /// What has been laid since the turn began.
    pub laid: Vec<f64>,
    /// Label of what was laid, with its unit, such as `laid, nm`.
    pub laid_label: String,
}

/// What a reactive gas does: cathode volts against its flow.
#[derive(Debug, Clone, PartialEq)]
pub struct FlowCurve {
    /// Name of the gas.
    pub gas: String,
    /// The curve by rising pressure: flow (sccm) and cathode volts.
    pub curve: Vec<[f64; 2]>,
    /// Whether a flow alone holds the process at each of its points.
    pub steady: Vec<bool>,
    /// What the shop read while the flow rose.
    pub up: Vec<[f64; 2]>,
    /// What it read while the flow fell.
    pub down: Vec<[f64; 2]>,
    /// Flows at which it jumps: rising, falling, sccm.
    pub jumps: Option<[f64; 2]>,
    /// Flow of the step, sccm.
    pub chosen: Option<f64>,
    /// Flows between which the shop's colours lie, sccm.
    pub known: Option<[f64; 2]>,
    /// What it means, in words.
    pub words: Vec<String>,
}

/// The colours while a film grows. Columns of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct Growth {
    /// nm.
    pub thickness_nm: Vec<f64>,
    /// `#rrggbb`.
    pub colours: Vec<String>,
    /// Trade words.
    pub words: Vec<String>,
    /// Composition of what is laid, where it changes.
    pub composition: Option<Vec<f64>>,
    /// What is to be known of it.
    pub note: String,
}

/// A place in the load or on the part.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceMark {
    /// Its name, such as `top outer, +200 mm`.
    pub name: String,
    /// `#rrggbb`.
    pub colour: String,
    /// Lines below its name: thickness, trade word.
    pub lines: Vec<String>,
    /// Whether its colour is outside the limits of what is wanted.
    pub fails: bool,
}

/// Places one below another.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceColumn {
    /// What they have in common.
    pub heading: String,
    /// The places, from above.
    pub places: Vec<PlaceMark>,
}

/// The chamber of one step.
#[derive(Debug, Clone, PartialEq)]
pub struct ChamberFigure {
    /// Title.
    pub title: String,
    /// Seen from above.
    pub above: Option<Above>,
    /// The reactive gas.
    pub flow: Option<FlowCurve>,
    /// The film through time.
    pub growth: Option<Growth>,
    /// The load, columns by turns left and right.
    pub load: Vec<PlaceColumn>,
    /// What the picture rests on.
    pub caption: String,
}

pub(crate) const WIDTH: f64 = 500.0;
pub(crate) const MARGIN: f64 = 18.0;
const SMALL: f64 = 13.5;
const HEADING: f64 = 16.0;
/// Left end of charts, which have numbers before them.
const LEFT: f64 = 58.0;
/// Between panels.
const GAP: f64 = 30.0;

impl ChamberFigure {
    /// As SVG.
    pub fn svg(&self) -> String {
        let (mut body, mut y) = lines(MARGIN, 32.0, 18.0, INK, &wrap(&self.title, 18.0, WIDTH - 2.0 * MARGIN));
        let mut letters = 'A'..='D';
        // `draw` draws from a height down, and tells where it ends.
        let mut panel = |words: &str, draw: &dyn Fn(f64) -> (String, f64)| {
            let Some(letter) = letters.next() else { return };
            body.push_str(&format!(
                "<path d=\"M{MARGIN} {:.1} h{:.1}\" stroke=\"{FAINT}\" stroke-width=\"0.6\"/>\n",
                y - 6.0,
                WIDTH - 2.0 * MARGIN
            ));
            body.push_str(&line(MARGIN, y + 18.0, HEADING, Hang::Start, INK, &format!("{letter}  {words}")));
            let (svg, bottom) = draw(y + 34.0);
            body.push_str(&svg);
            y = bottom + GAP;
        };
        if let Some(a) = &self.above {
            panel("The chamber from above", &|y| above::panel(a, y));
        }
        if let Some(f) = &self.flow {
            panel("The reactive gas", &|y| flow::panel(f, y));
        }
        if let Some(g) = &self.growth {
            panel("The film as it grows", &|y| growth::panel(g, y));
        }
        if !self.load.is_empty() {
            panel("The load", &|y| places::panel(&self.load, y));
        }
        let caption = wrap(&self.caption, SMALL, WIDTH - 2.0 * MARGIN);
        let (caption, bottom) = lines(MARGIN, y, SMALL, FAINT, &caption);
        format!("{}{body}{caption}</svg>\n", open(WIDTH, bottom + 6.0, &self.title, &self.summary()))
    }

    /// The picture for those who hear it.
    fn summary(&self) -> String {
        let parts = [
            self.above.as_ref().map(above::summary),
            self.flow.as_ref().map(flow::summary),
            self.growth.as_ref().map(growth::summary),
            (!self.load.is_empty()).then(|| places::summary(&self.load)),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(". ")
    }
}

/// Words below a panel.
fn told(y: f64, words: &str) -> (String, f64) {
    lines(MARGIN, y, SMALL, INK, &wrap(words, SMALL, WIDTH - 2.0 * MARGIN))
}
