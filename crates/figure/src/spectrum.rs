//! Reflectance against wavelength.

use crate::ribbon::{short, ticks};
use crate::text::{FAINT, Hang, INK, escape, fitting, line, open, wrap};

/// A spectrum.
#[derive(Debug, Clone, PartialEq)]
pub struct SpectrumFigure {
    /// Title.
    pub title: String,
    /// Rising, nm.
    pub wavelength_nm: Vec<f64>,
    /// One value a wavelength, per cent.
    pub reflectance_percent: Vec<f64>,
    /// The colour seen, `#rrggbb`.
    pub colour: String,
    /// What the picture rests on.
    pub caption: String,
}

const WIDTH: f64 = 720.0;
const TOP: f64 = 60.0;
const TALL: f64 = 300.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 28.0;
const SMALL: f64 = 13.0;

impl SpectrumFigure {
    /// As SVG.
    pub fn svg(&self) -> String {
        let caption = wrap(&self.caption, SMALL, WIDTH - LEFT - RIGHT);
        let lines = f64::from(u32::try_from(caption.len()).unwrap_or(u32::MAX));
        let mut svg = open(WIDTH, TOP + TALL + 70.0 + 18.0 * lines, &self.title, &self.summary());
        let room = WIDTH - LEFT - RIGHT - 40.0;
        svg.push_str(&line(LEFT, 34.0, fitting(&self.title, 19.0, room), Hang::Start, INK, &self.title));
        svg.push_str(&format!(
            "<rect x=\"{:.1}\" y=\"14\" width=\"34\" height=\"26\" rx=\"4\" fill=\"{}\" stroke=\"{INK}\" stroke-width=\"0.6\"/>\n",
            WIDTH - RIGHT - 34.0,
            escape(&self.colour)
        ));
        for tick in ticks(0.0, self.top()) {
            let y = self.y(tick);
            svg.push_str(&format!(
                "<line x1=\"{LEFT}\" x2=\"{:.1}\" y1=\"{y:.1}\" y2=\"{y:.1}\" stroke=\"{FAINT}\" stroke-width=\"0.4\"/>\n",
                WIDTH - RIGHT
            ));
            svg.push_str(&line(LEFT - 8.0, y + 4.0, SMALL, Hang::End, INK, &short(tick)));
        }
        let [first, last] = self.ends();
        for tick in ticks(first, last) {
            svg.push_str(&line(self.x(tick), TOP + TALL + 20.0, SMALL, Hang::Middle, INK, &short(tick)));
        }
        svg.push_str(&line(LEFT, TOP - 8.0, SMALL, Hang::Start, INK, "reflectance, %"));
        svg.push_str(&line(
            0.5 * (LEFT + WIDTH - RIGHT),
            TOP + TALL + 42.0,
            SMALL,
            Hang::Middle,
            INK,
            "wavelength, nm",
        ));
        let points: Vec<String> = self
            .wavelength_nm
            .iter()
            .zip(&self.reflectance_percent)
            .map(|(w, r)| format!("{:.2},{:.2}", self.x(*w), self.y(*r)))
            .collect();
        svg.push_str(&format!(
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"2\"/>\n",
            points.join(" ")
        ));
        let mut y = TOP + TALL + 66.0;
        for text in &caption {
            svg.push_str(&line(LEFT, y, SMALL, Hang::Start, FAINT, text));
            y += 18.0;
        }
        svg.push_str("</svg>\n");
        svg
    }

    fn ends(&self) -> [f64; 2] {
        [self.wavelength_nm.first().copied().unwrap_or(0.0), self.wavelength_nm.last().copied().unwrap_or(1.0)]
    }

    /// Upper end of the axis, per cent.
    fn top(&self) -> f64 {
        let most = self.reflectance_percent.iter().copied().fold(0.0, f64::max);
        ((most / 20.0).ceil() * 20.0).max(20.0)
    }

    fn x(&self, wavelength_nm: f64) -> f64 {
        let [first, last] = self.ends();
        LEFT + (wavelength_nm - first) / (last - first).max(1e-9) * (WIDTH - LEFT - RIGHT)
    }

    fn y(&self, percent: f64) -> f64 {
        TOP + TALL * (1.0 - percent / self.top())
    }

    /// Where it is least and greatest, for those who hear the picture.
    fn summary(&self) -> String {
        let pairs = || self.wavelength_nm.iter().zip(&self.reflectance_percent);
        let least = pairs().min_by(|a, b| a.1.total_cmp(b.1));
        let most = pairs().max_by(|a, b| a.1.total_cmp(b.1));
        match (least, most) {
            (Some((w0, r0)), Some((w1, r1))) => {
                format!("reflectance from {r0:.1} % at {w0:.0} nm to {r1:.1} % at {w1:.0} nm")
            }
            _ => "no reflectance".to_owned(),
        }
    }
}
