//! Loads of a coater from left to right: witnesses beside the wanted colour, what explains them, what to set next.

use crate::text::{FAINT, Hang, INK, count, cross, escape, fitting, line, lines, open, wrap};

/// A colour that was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct WitnessMark {
    /// Where it stood.
    pub at: String,
    /// `#rrggbb`.
    pub colour: String,
    /// How far off, and whether it passes.
    pub words: String,
    /// Whether it is outside the limits.
    pub fails: bool,
}

/// What may explain a load.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseBar {
    /// Probability, 0 to 1.
    pub share: f64,
    /// What it is.
    pub words: String,
}

/// One load.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadColumn {
    /// Its name.
    pub name: String,
    /// When, and what was set otherwise than before.
    pub set: Vec<String>,
    /// Its witnesses, from above.
    pub witnesses: Vec<WitnessMark>,
    /// What may explain them, the most probable first.
    pub causes: Vec<CauseBar>,
    /// Said in place of causes.
    pub verdict: String,
}

/// The next load.
#[derive(Debug, Clone, PartialEq)]
pub struct NextMark {
    /// Expected colour, `#rrggbb`.
    pub colour: String,
    /// What to set, what to expect.
    pub lines: Vec<String>,
    /// Chance with these settings, 0 to 1.
    pub chance: f64,
    /// Chance with those of the last load.
    pub kept: Option<f64>,
}

/// Loads, their causes, the next settings.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadsFigure {
    /// Title.
    pub title: String,
    /// The wanted colour, `#rrggbb`, and what it is called.
    pub wanted: Option<(String, String)>,
    /// The loads in order.
    pub loads: Vec<LoadColumn>,
    /// What drifts, in words.
    pub drift: Option<String>,
    /// The next load.
    pub next: Option<NextMark>,
    /// What the picture rests on.
    pub caption: String,
}

const WIDTH: f64 = 500.0;
const MARGIN: f64 = 18.0;
const SMALL: f64 = 13.5;
/// Loads beside one another.
const ACROSS: usize = 3;
const BETWEEN: f64 = 14.0;
const SWATCH: f64 = 46.0;
/// Beside one another: wanted, and what came out.
const WANTED: f64 = 0.4;
/// A bar beside its words.
const BAR: f64 = 92.0;

fn column() -> f64 {
    (WIDTH - 2.0 * MARGIN - BETWEEN * count(ACROSS - 1)) / count(ACROSS)
}

impl LoadsFigure {
    /// As SVG.
    pub fn svg(&self) -> String {
        let room = WIDTH - 2.0 * MARGIN;
        let (mut body, mut y) = lines(MARGIN, 32.0, 18.0, INK, &wrap(&self.title, 18.0, room));
        if let Some((colour, words)) = &self.wanted {
            body.push_str(&patch(MARGIN, y - 8.0, 34.0, 22.0, colour));
            let words = wrap(&format!("wanted: {words}; left in every swatch below"), SMALL, room - 34.0);
            let (text, bottom) = lines(MARGIN + 44.0, y + 2.0, SMALL, INK, &words);
            body.push_str(&text);
            y = bottom.max(y + 24.0) + 6.0;
        }
        for row in self.loads.chunks(ACROSS) {
            let (svg, bottom) = self.row(row, y);
            body.push_str(&svg);
            y = bottom;
        }
        if let Some(drift) = &self.drift {
            let (svg, bottom) = lines(MARGIN, y + 8.0, SMALL, INK, &wrap(&format!("Drift: {drift}."), SMALL, room));
            body.push_str(&svg);
            y = bottom + 8.0;
        }
        if let Some(next) = &self.next {
            let (svg, bottom) = self.next(next, y + 8.0);
            body.push_str(&svg);
            y = bottom;
        }
        let (caption, bottom) = lines(MARGIN, y + 12.0, SMALL, FAINT, &wrap(&self.caption, SMALL, room));
        format!("{}{body}{caption}</svg>\n", open(WIDTH, bottom + 6.0, &self.title, &self.summary()))
    }

    /// Loads beside one another: what belongs together stands at one height.
    fn row(&self, loads: &[LoadColumn], top: f64) -> (String, f64) {
        let wide = column();
        let x = |i: usize| (MARGIN + count(i) * (wide + BETWEEN)).round();
        let mut svg = rule(top - 4.0);
        let mut y = top + 16.0;
        let mut bottom = y;
        for (i, load) in loads.iter().enumerate() {
            svg.push_str(&line(x(i), y, fitting(&load.name, 16.0, wide), Hang::Start, INK, &load.name));
            let set: Vec<String> = load.set.iter().flat_map(|s| wrap(s, 12.5, wide)).collect();
            let (text, end) = lines(x(i), y + 18.0, 12.5, FAINT, &set);
            svg.push_str(&text);
            bottom = bottom.max(end);
        }
        y = bottom;
        for (i, load) in loads.iter().enumerate() {
            for (n, witness) in load.witnesses.iter().enumerate() {
                svg.push_str(&self.witness(witness, x(i), y + count(n) * (SWATCH + 42.0), wide));
            }
        }
        let most = loads.iter().map(|l| l.witnesses.len()).max().unwrap_or(0);
        y += count(most) * (SWATCH + 42.0) + 20.0;
        for load in loads {
            let (text, end) = explained(load, y);
            svg.push_str(&text);
            y = end + 8.0;
        }
        (svg, y + 8.0)
    }

    fn witness(&self, w: &WitnessMark, x: f64, y: f64, wide: f64) -> String {
        let left = if self.wanted.is_some() { (WANTED * wide).round() } else { 0.0 };
        let mut svg = String::new();
        if let Some((colour, _)) = &self.wanted {
            svg.push_str(&patch(x, y, left, SWATCH, colour));
        }
        svg.push_str(&patch(x + left, y, wide - left, SWATCH, &w.colour));
        if w.fails {
            svg.push_str(&cross(x + wide - 13.0, y + 13.0));
        }
        svg.push_str(&line(x, y + SWATCH + 15.0, fitting(&w.at, SMALL, wide), Hang::Start, INK, &w.at));
        svg.push_str(&line(x, y + SWATCH + 31.0, fitting(&w.words, SMALL, wide), Hang::Start, INK, &w.words));
        svg
    }

    fn next(&self, next: &NextMark, top: f64) -> (String, f64) {
        let mut svg = rule(top - 6.0);
        svg.push_str(&line(MARGIN, top + 18.0, 16.0, Hang::Start, INK, "Next load"));
        let wide = column();
        let y = top + 32.0;
        let tall = 2.0 * SWATCH;
        let left = if self.wanted.is_some() { (WANTED * wide).round() } else { 0.0 };
        if let Some((colour, _)) = &self.wanted {
            svg.push_str(&patch(MARGIN, y, left, tall, colour));
        }
        svg.push_str(&patch(MARGIN + left, y, wide - left, tall, &next.colour));
        svg.push_str(&line(MARGIN, y + tall + 17.0, SMALL, Hang::Start, INK, "wanted, expected"));
        let at = MARGIN + wide + BETWEEN;
        let room = WIDTH - MARGIN - at;
        let text: Vec<String> = next.lines.iter().flat_map(|l| wrap(l, SMALL, room)).collect();
        let (words, mut bottom) = lines(at, y + 12.0, SMALL, INK, &text);
        svg.push_str(&words);
        let kept = next.kept.map(|k| (k, "as the last load was set"));
        for (share, words) in std::iter::once((next.chance, "chance")).chain(kept) {
            svg.push_str(&bar(at, bottom - 4.0, room, share));
            svg.push_str(&line(at, bottom + 24.0, SMALL, Hang::Start, INK, &format!("{:.0} % {words}", 100.0 * share)));
            bottom += 44.0;
        }
        (svg, bottom.max(y + tall + 34.0))
    }

    /// The picture for those who hear it.
    fn summary(&self) -> String {
        let mut parts: Vec<String> = self.wanted.iter().map(|(_, words)| format!("wanted {words}")).collect();
        for load in &self.loads {
            let witnesses: Vec<String> = load.witnesses.iter().map(|w| format!("{}: {}", w.at, w.words)).collect();
            let causes: Vec<String> =
                load.causes.iter().map(|c| format!("{:.0} % {}", 100.0 * c.share, c.words)).collect();
            let told = if causes.is_empty() { load.verdict.clone() } else { causes.join(", ") };
            parts.push(format!("{}: {}; {told}", load.name, witnesses.join(", ")));
        }
        parts.extend(self.drift.iter().cloned());
        if let Some(next) = &self.next {
            parts.push(format!("next load: {}; chance {:.0} %", next.lines.join("; "), 100.0 * next.chance));
        }
        parts.join(". ")
    }
}

fn rule(y: f64) -> String {
    format!("<path d=\"M{MARGIN} {y:.1} h{:.1}\" stroke=\"{FAINT}\" stroke-width=\"0.6\"/>\n", WIDTH - 2.0 * MARGIN)
}

fn patch(x: f64, y: f64, wide: f64, tall: f64, colour: &str) -> String {
    format!("<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{wide:.1}\" height=\"{tall:.1}\" fill=\"{}\"/>\n", escape(colour))
}

fn bar(x: f64, y: f64, wide: f64, share: f64) -> String {
    format!(
        "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{wide:.1}\" height=\"9\" fill=\"none\" stroke=\"{FAINT}\" stroke-width=\"1\"/>\n\
         <rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{:.1}\" height=\"9\" fill=\"{INK}\"/>\n",
        wide * share.clamp(0.0, 1.0)
    )
}

/// Bars of probability with their words; or the verdict alone. As wide as the paper: words are long, columns narrow.
fn explained(load: &LoadColumn, y: f64) -> (String, f64) {
    if load.causes.is_empty() && load.verdict.is_empty() {
        return (String::new(), y - 8.0);
    }
    let (at, room) = (MARGIN + BAR + 12.0, WIDTH - 2.0 * MARGIN - BAR - 12.0);
    let name = fitting(&load.name, SMALL, BAR);
    if load.causes.is_empty() {
        let (text, bottom) = lines(at, y, SMALL, INK, &wrap(&load.verdict, SMALL, room));
        return (format!("{}{text}", line(MARGIN, y, name, Hang::Start, FAINT, &load.name)), bottom);
    }
    let mut svg = line(MARGIN, y, SMALL, Hang::Start, FAINT, &load.name);
    let mut top = y + 19.0;
    for cause in &load.causes {
        svg.push_str(&bar(MARGIN, top - 9.0, BAR, cause.share));
        let words = wrap(&format!("{:.0} % {}", 100.0 * cause.share, cause.words), SMALL, room);
        let (text, bottom) = lines(at, top, SMALL, INK, &words);
        svg.push_str(&text);
        top = bottom + 3.0;
    }
    (svg, top)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_stand_three_in_a_row_and_are_heard_too() {
        let load = |i: usize| LoadColumn {
            name: format!("load {i}"),
            set: vec!["target 120 Ah".to_owned()],
            witnesses: vec![WitnessMark {
                at: "middle".to_owned(),
                colour: "#27509b".to_owned(),
                words: "2.1, fails b*".to_owned(),
                fails: true,
            }],
            causes: vec![CauseBar { share: 0.86, words: "too thin".to_owned() }],
            verdict: String::new(),
        };
        let figure = LoadsFigure {
            title: "loads <1>".to_owned(),
            wanted: Some(("#1a3f8f".to_owned(), "deep blue".to_owned())),
            loads: (1..=4).map(load).collect(),
            drift: None,
            next: None,
            caption: String::new(),
        };
        let svg = figure.svg();
        // Four loads are two rows, each under a rule.
        assert_eq!(svg.matches("stroke-width=\"0.6\"").count(), 2);
        assert_eq!(svg.matches("too thin").count(), 8, "drawn and heard");
        assert!(
            svg.contains("loads &lt;1&gt;") && svg.contains("<desc>wanted deep blue. load 1: middle: 2.1, fails b*;")
        );
    }
}
