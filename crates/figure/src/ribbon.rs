//! The strip of colours that pass while a setting rises.

use crate::text::{FAINT, Hang, INK, escape, fitting, line, open, width, wrap};

/// One row of colours.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// What sets the row apart, such as `30°`.
    pub label: String,
    /// `#rrggbb`, equally spaced from the first to the last setting.
    pub colours: Vec<String>,
    /// For each colour, whether the screen cannot show it.
    pub out_of_gamut: Vec<bool>,
}

/// A named stretch of the first row.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// First setting.
    pub from: f64,
    /// Last setting.
    pub to: f64,
    /// Trade word.
    pub name: String,
}

/// A setting that is pointed at, with the span in which the colour holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// The setting.
    pub at: f64,
    /// Its window, if known.
    pub window: Option<(f64, f64)>,
    /// What stands beside it.
    pub label: String,
    /// The wanted colour, `#rrggbb`, drawn above the mark.
    pub wanted: Option<String>,
}

/// A ribbon.
#[derive(Debug, Clone, PartialEq)]
pub struct RibbonFigure {
    /// Title.
    pub title: String,
    /// Axis label with unit, such as `voltage, V`.
    pub axis: String,
    /// First setting.
    pub from: f64,
    /// Last setting.
    pub to: f64,
    /// Rows, the first named by the bands.
    pub strips: Vec<Strip>,
    /// Names along the first row.
    pub bands: Vec<Band>,
    /// What is pointed at.
    pub mark: Option<Mark>,
    /// What the picture rests on.
    pub caption: String,
}

const WIDTH: f64 = 980.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 24.0;
const STRIP: f64 = 64.0;
const SMALL: f64 = 13.0;

impl RibbonFigure {
    /// As SVG.
    pub fn svg(&self) -> String {
        let caption = wrap(&self.caption, SMALL, WIDTH - LEFT - RIGHT);
        let top = if self.mark.is_some() { 104.0 } else { 62.0 };
        let rows = rows(self.strips.len());
        let strips_end = top + rows * (STRIP + 6.0);
        let height = strips_end + 92.0 + rows_of(&caption) * 18.0;
        let mut svg = open(WIDTH, height, &self.title, &self.summary());
        svg.push_str(&line(
            LEFT,
            34.0,
            fitting(&self.title, 19.0, WIDTH - LEFT - RIGHT),
            Hang::Start,
            INK,
            &self.title,
        ));
        for (i, strip) in self.strips.iter().enumerate() {
            svg.push_str(&self.strip(strip, top + rows_at(i) * (STRIP + 6.0)));
        }
        svg.push_str(&self.names(strips_end + 14.0));
        svg.push_str(&self.axis_line(strips_end + 36.0));
        if let Some(mark) = &self.mark {
            svg.push_str(&self.pointer(mark, top, strips_end));
        }
        for (i, text) in caption.iter().enumerate() {
            svg.push_str(&line(LEFT, strips_end + 98.0 + rows_at(i) * 18.0, SMALL, Hang::Start, FAINT, text));
        }
        svg.push_str("</svg>\n");
        svg
    }

    fn x(&self, setting: f64) -> f64 {
        LEFT + (setting - self.from) / (self.to - self.from) * (WIDTH - LEFT - RIGHT)
    }

    fn summary(&self) -> String {
        let names: Vec<String> =
            self.bands.iter().map(|b| format!("{} from {:.4} to {:.4}", b.name, b.from, b.to)).collect();
        format!("{}: {}", self.axis, names.join(", "))
    }

    fn strip(&self, strip: &Strip, y: f64) -> String {
        let count = rows(strip.colours.len().max(1));
        let room = WIDTH - LEFT - RIGHT;
        let mut svg = line(LEFT - 8.0, y + STRIP * 0.5 + 5.0, SMALL, Hang::End, INK, &strip.label);
        for (i, colour) in strip.colours.iter().enumerate() {
            let x = LEFT + room * rows_at(i) / count;
            // A little overlap, so that no seam shows.
            let wide = room / count + 0.6;
            svg.push_str(&format!(
                "<rect x=\"{x:.2}\" y=\"{y:.1}\" width=\"{wide:.2}\" height=\"{STRIP}\" fill=\"{}\"/>\n",
                escape(colour)
            ));
        }
        // What the screen cannot show is underlined.
        let mut start = None;
        for i in 0..=strip.out_of_gamut.len() {
            let out = strip.out_of_gamut.get(i).copied().unwrap_or(false);
            match (out, start) {
                (true, None) => start = Some(i),
                (false, Some(from)) => {
                    let (x0, x1) = (LEFT + room * rows_at(from) / count, LEFT + room * rows_at(i) / count);
                    let under = y + STRIP + 2.0;
                    svg.push_str(&format!(
                        "<line x1=\"{x0:.1}\" x2=\"{x1:.1}\" y1=\"{under:.1}\" y2=\"{under:.1}\" stroke=\"{INK}\" stroke-width=\"1.5\" stroke-dasharray=\"2 3\"/>\n"
                    ));
                    start = None;
                }
                _ => {}
            }
        }
        svg
    }

    /// Names of the bands; where they would collide, the wider band keeps its name.
    fn names(&self, y: f64) -> String {
        let mut by_width: Vec<&Band> = self.bands.iter().collect();
        by_width.sort_by(|a, b| (b.to - b.from).total_cmp(&(a.to - a.from)).then(a.from.total_cmp(&b.from)));
        let mut taken: Vec<(f64, f64)> = Vec::new();
        let mut svg = String::new();
        for band in by_width {
            let half = 0.5 * width(&band.name, SMALL);
            let wished = 0.5 * (self.x(band.from) + self.x(band.to));
            let middle = wished.clamp(LEFT + half, (WIDTH - 4.0 - half).max(LEFT + half));
            let (from, to) = (middle - half, middle + half);
            if taken.iter().all(|(f, t)| to + 4.0 < *f || from - 4.0 > *t) {
                svg.push_str(&line(middle, y, SMALL, Hang::Middle, INK, &band.name));
                taken.push((from, to));
            }
        }
        svg
    }

    fn axis_line(&self, y: f64) -> String {
        let mut svg = format!(
            "<line x1=\"{LEFT}\" x2=\"{:.1}\" y1=\"{y:.1}\" y2=\"{y:.1}\" stroke=\"{FAINT}\" stroke-width=\"1\"/>\n",
            WIDTH - RIGHT
        );
        for tick in ticks(self.from, self.to) {
            let x = self.x(tick);
            svg.push_str(&format!(
                "<line x1=\"{x:.1}\" x2=\"{x:.1}\" y1=\"{y:.1}\" y2=\"{:.1}\" stroke=\"{FAINT}\" stroke-width=\"1\"/>\n",
                y + 6.0
            ));
            svg.push_str(&line(x, y + 21.0, SMALL, Hang::Middle, INK, &short(tick)));
        }
        svg.push_str(&line(0.5 * (LEFT + WIDTH - RIGHT), y + 41.0, SMALL, Hang::Middle, INK, &self.axis));
        svg
    }

    fn pointer(&self, mark: &Mark, top: f64, bottom: f64) -> String {
        let x = self.x(mark.at);
        let mut svg = String::new();
        if let Some((low, high)) = mark.window {
            let (x0, x1) = (self.x(low.max(self.from)), self.x(high.min(self.to)));
            svg.push_str(&format!(
                "<rect x=\"{x0:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"5\" rx=\"2.5\" fill=\"{INK}\"/>\n",
                top - 9.0,
                (x1 - x0).max(2.0)
            ));
        }
        svg.push_str(&format!(
            "<path d=\"M{x:.1} {:.1} V{bottom:.1}\" stroke=\"#ffffff\" stroke-width=\"3\" opacity=\"0.75\"/>\n\
             <path d=\"M{x:.1} {:.1} V{bottom:.1}\" stroke=\"{INK}\" stroke-width=\"1.2\"/>\n",
            top - 14.0,
            top - 14.0
        ));
        let room = width(&mark.label, SMALL) + 40.0;
        let left = (x - 11.0).clamp(LEFT, (WIDTH - RIGHT - room).max(LEFT));
        if let Some(wanted) = &mark.wanted {
            svg.push_str(&format!(
                "<rect x=\"{left:.1}\" y=\"{:.1}\" width=\"22\" height=\"22\" rx=\"4\" fill=\"{}\" stroke=\"{INK}\" stroke-width=\"0.6\"/>\n",
                top - 44.0,
                escape(wanted)
            ));
        }
        svg.push_str(&line(left + 30.0, top - 28.0, SMALL, Hang::Start, INK, &mark.label));
        svg
    }
}

fn rows(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}
fn rows_at(i: usize) -> f64 {
    rows(i)
}
fn rows_of(lines: &[String]) -> f64 {
    rows(lines.len())
}

/// Round numbers between two ends, five to ten of them.
pub(crate) fn ticks(from: f64, to: f64) -> Vec<f64> {
    let span = to - from;
    if span.is_nan() || span <= 0.0 {
        return Vec::new();
    }
    let magnitude = libm::pow(10.0, libm::log10(span / 8.0).floor());
    let step =
        [1.0, 2.0, 5.0, 10.0].into_iter().map(|m| m * magnitude).find(|s| span / s <= 9.0).unwrap_or(10.0 * magnitude);
    let mut list = Vec::new();
    let mut i = (from / step - 1e-9).ceil();
    while i * step <= to + 1e-9 * span {
        list.push(i * step + 0.0);
        i += 1.0;
    }
    list
}

pub(crate) fn short(value: f64) -> String {
    // Minus zero is zero.
    let text = format!("{:.3}", value + 0.0);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_inside() {
        assert_eq!(ticks(0.0, 110.0), vec![0.0, 20.0, 40.0, 60.0, 80.0, 100.0]);
        assert!(ticks(3.0, 3.0).is_empty());
    }
}
