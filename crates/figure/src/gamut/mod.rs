//! What each kind of way reaches: a chart of a* and b*, and beside it chroma and lightness by hue.

mod chart;
mod outline;
mod rows;

use crate::text::{FAINT, Hang, INK, count, fitting, line, open, wrap};

/// A square of the a*, b* plane that is reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// a* of its middle.
    pub a: f64,
    /// b* of its middle.
    pub b: f64,
    /// A colour reached in it, `#rrggbb`.
    pub srgb: String,
}

/// A sector of hue.
#[derive(Debug, Clone, PartialEq)]
pub struct Sector {
    /// Greatest C*.
    pub chroma: f64,
    /// The colour of that, `#rrggbb`.
    pub srgb: String,
    /// Least and greatest L*.
    pub lightness: [f64; 2],
}

/// What one kind of way reaches.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// What it is.
    pub label: String,
    /// A few words more.
    pub detail: String,
    /// Reached squares.
    pub patches: Vec<Patch>,
    /// Where one number is turned: the colours in order, a* and b* and `#rrggbb`. Drawn in place of an outline.
    pub lines: Vec<Vec<([f64; 2], String)>>,
    /// Sectors of hue in equal steps from 0 to 360 degrees; `None` where no colour is reached.
    pub sectors: Vec<Option<Sector>>,
}

/// The colour that is wanted.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// `#rrggbb`.
    pub srgb: String,
    /// What it is called.
    pub words: String,
}

/// The reach of kinds of ways.
#[derive(Debug, Clone, PartialEq)]
pub struct GamutFigure {
    /// Title.
    pub title: String,
    /// Side of a square, units of a* and b*.
    pub cell: f64,
    /// Kinds of ways, in the order of their letters.
    pub regions: Vec<Region>,
    /// The wanted colour.
    pub wanted: Option<Wanted>,
    /// What the picture rests on.
    pub caption: String,
}

pub(crate) const WIDTH: f64 = 1180.0;
const MARGIN: f64 = 28.0;
const SMALL: f64 = 13.0;
/// Top of chart and rows.
const TOP: f64 = 92.0;
/// Left end and side of the chart.
const CHART: (f64, f64) = (66.0, 572.0);
/// Left end of the rows, and the least and greatest height of one.
const ROWS: f64 = 690.0;
const ROW: [f64; 2] = [76.0, 100.0];
/// Room for an axis below a chart.
const AXIS: f64 = 54.0;
/// How many regions are outlined in the chart: more cannot be told apart.
const OUTLINED: usize = 8;

impl GamutFigure {
    /// As SVG.
    pub fn svg(&self) -> String {
        let caption = wrap(&self.caption, SMALL, WIDTH - 2.0 * MARGIN);
        let all = self.regions.len();
        let beside = all.min(OUTLINED);
        let row = (CHART.1 / count(beside.max(1))).clamp(ROW[0], ROW[1]);
        let below = TOP + CHART.1.max(count(beside) * row) + AXIS;
        // Those that do not fit beside the chart stand below, in two columns.
        let left = beside + (all - beside).div_ceil(2);
        let bottom = if all > beside { below + 30.0 + count(left - beside) * ROW[0] + AXIS } else { below };
        let height = bottom + count(caption.len()) * 18.0 + 10.0;
        let mut svg = open(WIDTH, height, &self.title, &self.summary());
        let size = fitting(&self.title, 19.0, WIDTH - 2.0 * MARGIN);
        svg.push_str(&line(MARGIN, 40.0, size, Hang::Start, INK, &self.title));
        svg.push_str(&chart::chart(self, CHART.0, TOP, CHART.1));
        let wide = WIDTH - MARGIN - ROWS;
        for (range, x, y, tall) in [
            ([0, beside], ROWS, TOP, row),
            ([beside, left], CHART.0 + 40.0, below + 30.0, ROW[0]),
            ([left, all], ROWS, below + 30.0, ROW[0]),
        ] {
            if range[0] < range[1] {
                svg.push_str(&rows::rows(self, range, (x, y), wide, tall));
            }
        }
        for (i, text) in caption.iter().enumerate() {
            svg.push_str(&line(MARGIN, bottom + 14.0 + count(i) * 18.0, SMALL, Hang::Start, FAINT, text));
        }
        svg.push_str("</svg>\n");
        svg
    }

    /// The picture for those who hear it.
    fn summary(&self) -> String {
        let mut parts: Vec<String> = Vec::new();
        if let Some(wanted) = &self.wanted {
            let [l, a, b] = wanted.lab;
            parts.push(format!("wanted {}: L* {l:.0}, a* {a:.0}, b* {b:.0}", wanted.words));
        }
        for (i, region) in self.regions.iter().enumerate() {
            let bare = region.sectors.iter().filter(|s| s.is_none()).count();
            parts.push(format!(
                "{}: {}, {}, {} squares, {bare} of {} sectors of hue without colour",
                letter(i),
                region.label,
                region.detail,
                region.patches.len(),
                region.sectors.len()
            ));
        }
        parts.join(". ")
    }
}

/// The letter of a region, in chart and rows.
fn letter(i: usize) -> char {
    ('A'..='Z').nth(i).unwrap_or('*')
}

/// How the outline or line of a region is broken, so that it is told without colour.
fn dashes(i: usize) -> &'static str {
    ["none", "7 3", "2 3", "11 3 2 3", "5 5", "1 5", "9 3 2 3 2 3", "14 5"][i % OUTLINED]
}

/// A letter on a disc.
fn tag(x: f64, y: f64, i: usize) -> String {
    format!(
        "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"9\" fill=\"#ffffff\" stroke=\"{INK}\" stroke-width=\"1.2\"/>\n{}",
        line(x, y + 4.2, 12.0, Hang::Middle, INK, &letter(i).to_string())
    )
}
