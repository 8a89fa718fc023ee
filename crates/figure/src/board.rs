//! Wanted and promised colours side by side.

use crate::text::{FAINT, Hang, INK, escape, fitting, line, open, wrap};

/// One promised colour.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// Straight on, then at each tilt: label and `#rrggbb`.
    pub colours: Vec<(String, String)>,
    /// First line, such as `1. titanium`.
    pub heading: String,
    /// Lines below it.
    pub lines: Vec<String>,
}

/// A board of ways.
#[derive(Debug, Clone, PartialEq)]
pub struct BoardFigure {
    /// Title.
    pub title: String,
    /// The wanted colour, `#rrggbb`.
    pub wanted: String,
    /// What it is called.
    pub wanted_words: String,
    /// Ways, best first.
    pub cards: Vec<Card>,
    /// What the picture rests on.
    pub caption: String,
}

const WIDTH: f64 = 980.0;
const MARGIN: f64 = 28.0;
const ROW: f64 = 104.0;
const SMALL: f64 = 13.0;

impl BoardFigure {
    /// As SVG.
    pub fn svg(&self) -> String {
        let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
        let caption = wrap(&self.caption, SMALL, WIDTH - 2.0 * MARGIN);
        let height = 70.0 + count(self.cards.len()) * ROW + 24.0 + count(caption.len()) * 18.0;
        let summary: Vec<String> =
            self.cards.iter().map(|c| format!("{}; {}", c.heading, c.lines.join("; "))).collect();
        let mut svg = open(WIDTH, height, &self.title, &summary.join(". "));
        svg.push_str(&line(MARGIN, 36.0, 19.0, Hang::Start, INK, &self.title));
        for (i, card) in self.cards.iter().enumerate() {
            let y = 60.0 + count(i) * ROW;
            svg.push_str(&self.card(card, y));
        }
        for (i, text) in caption.iter().enumerate() {
            let y = height - count(caption.len() - i) * 18.0 + 4.0;
            svg.push_str(&line(MARGIN, y, SMALL, Hang::Start, FAINT, text));
        }
        svg.push_str("</svg>\n");
        svg
    }

    /// The wanted colour touches the promised one, so that the eye can compare; tilts follow.
    fn card(&self, card: &Card, y: f64) -> String {
        let size = ROW - 32.0;
        let patch = |x: f64, wide: f64, colour: &str| {
            format!(
                "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{wide:.1}\" height=\"{size:.1}\" fill=\"{}\"/>\n",
                escape(colour)
            )
        };
        let mut svg = patch(MARGIN, 92.0, &self.wanted);
        svg.push_str(&line(MARGIN + 46.0, y + size + 15.0, 11.0, Hang::Middle, FAINT, &self.wanted_words));
        let mut x = MARGIN + 92.0;
        for (i, (label, colour)) in card.colours.iter().enumerate() {
            let wide = if i == 0 { 92.0 } else { 56.0 };
            if i == 1 {
                x += 6.0;
            }
            svg.push_str(&patch(x, wide, colour));
            svg.push_str(&line(x + 0.5 * wide, y + size + 15.0, 11.0, Hang::Middle, FAINT, label));
            x += wide;
        }
        let text_x = x + 20.0;
        let room = WIDTH - 12.0 - text_x;
        let size = fitting(&card.heading, 15.0, room);
        svg.push_str(&line(text_x, y + 14.0, size, Hang::Start, INK, &card.heading));
        for (i, text) in card.lines.iter().enumerate() {
            let down = f64::from(u32::try_from(i).unwrap_or(0)) * 18.0;
            svg.push_str(&line(text_x, y + 33.0 + down, fitting(text, SMALL, room), Hang::Start, INK, text));
        }
        svg
    }
}
