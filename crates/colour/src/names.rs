//! Trade words for colours.

use crate::difference::ciede2000;
use crate::lab::Lab;

/// One word: where it holds and what it aims at (D65, 2 degrees).
#[derive(Debug, Clone, PartialEq)]
pub struct Name {
    /// The word.
    pub name: String,
    /// L*, from and to.
    pub lightness: [f64; 2],
    /// C*ab, from and to.
    pub chroma: [f64; 2],
    /// Hue angle in degrees, from and to; may pass through 0.
    pub hue: [f64; 2],
    /// What a person who asks for the word means.
    pub target: Lab,
    /// Why the borders lie there.
    pub reason: String,
}

impl Name {
    /// Whether the row's ranges hold `lab`. Upper borders belong to the next row.
    pub fn holds(&self, lab: Lab) -> bool {
        let colour = lab.lch();
        let within = |v: f64, range: [f64; 2]| v >= range[0] && v < range[1];
        let hue = if self.hue[0] <= self.hue[1] {
            within(colour.h, self.hue)
        } else {
            colour.h >= self.hue[0] || colour.h < self.hue[1]
        };
        within(colour.l, self.lightness) && within(colour.c, self.chroma) && hue
    }
}

/// The table of names, in the order in which rows are tried.
#[derive(Debug, Clone, PartialEq)]
pub struct Names {
    rows: Vec<Name>,
}

impl Names {
    /// `None` when there are no rows.
    pub fn new(rows: Vec<Name>) -> Option<Self> {
        (!rows.is_empty()).then_some(Self { rows })
    }

    /// The rows in order.
    pub fn rows(&self) -> &[Name] {
        &self.rows
    }

    /// The word for a colour seen under D65 by the 2 degree observer: the first row that holds it, else the row whose
    /// target is nearest.
    pub fn name(&self, lab: Lab) -> &str {
        let nearest = || {
            self.rows
                .iter()
                .min_by(|a, b| ciede2000(lab, a.target).total_cmp(&ciede2000(lab, b.target)))
                .map_or("", |row| &row.name)
        };
        self.rows.iter().find(|row| row.holds(lab)).map_or_else(nearest, |row| &row.name)
    }

    /// The row with this word (letter case and surrounding space do not count).
    pub fn find(&self, word: &str) -> Option<&Name> {
        let word = word.trim();
        self.rows.iter().find(|row| row.name.eq_ignore_ascii_case(word))
    }
}
