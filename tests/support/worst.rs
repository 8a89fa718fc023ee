//! The largest of many differences, each in shares of its own tolerance.

use crate::accuracy::Row;

/// Keeps the difference that is the largest share of its tolerance, where it was met, and how many were seen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Worst {
    share: f64,
    /// The difference; NaN once one was not a number.
    pub miss: f64,
    /// How far off it may be.
    pub tolerance: f64,
    /// Where it was met.
    pub at: String,
    /// What was expected there.
    pub expected: f64,
    /// What we gave there.
    pub ours: f64,
    /// How many were compared.
    pub count: usize,
}

/// Where a row of the accuracy table comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Origin<'o> {
    /// First part of every key: the chapter of the table.
    pub chapter: &'o str,
    /// Who says what it should be.
    pub source: &'o str,
    /// As in [`Row::status`].
    pub status: &'o str,
}

impl Worst {
    /// Compares one number.
    ///
    /// # Panics
    /// When the tolerance is not a number of zero or more.
    pub fn see(&mut self, at: impl Into<String>, ours: f64, expected: f64, tolerance: f64) {
        assert!(tolerance >= 0.0, "a tolerance of {tolerance}");
        self.count += 1;
        let miss = (ours - expected).abs();
        let share = if miss <= 0.0 { 0.0 } else { miss / tolerance };
        // A NaN must win and stay.
        if self.count == 1 || share > self.share || (share.is_nan() && !self.share.is_nan()) {
            *self = Self { share, miss, tolerance, at: at.into(), expected, ours, count: self.count };
        }
    }

    /// Asserts that something was compared and nothing is off by more than its tolerance.
    ///
    /// # Panics
    /// When that does not hold.
    pub fn within(&self) {
        assert!(self.count > 0, "nothing was compared");
        assert!(
            self.miss <= self.tolerance,
            "{}: off by {:e} of {:e} (expected {}, ours {})",
            self.at,
            self.miss,
            self.tolerance,
            self.expected,
            self.ours
        );
    }

    /// The row of the worst number. Of more than one, `what` gets their count.
    pub fn row(&self, origin: Origin<'_>, key: &str, what: &str, unit: &str) -> Row {
        let many = self.count > 1;
        Row {
            key: format!("{}/{key}", origin.chapter),
            what: if many { format!("{what}, worst of {} values", self.count) } else { what.to_owned() },
            source: origin.source.to_owned(),
            status: origin.status.to_owned(),
            expected: format!(
                "{}{}",
                self.shown(self.expected),
                if many { format!(" ({})", self.at) } else { String::new() }
            ),
            ours: self.shown(self.ours),
            miss: self.miss,
            tolerance: self.tolerance,
            unit: unit.to_owned(),
            why: None,
        }
    }

    /// As [`Worst::row`], for differences of rounding alone: which number is the worst changes from machine to machine,
    /// so that it is not told.
    pub fn rounding_row(&self, origin: Origin<'_>, key: &str, what: &str, unit: &str) -> Row {
        let row = self.row(origin, key, what, unit);
        Row { expected: "equal".to_owned(), ours: "equal to rounding".to_owned(), ..row }
    }

    /// A number with one digit more than its tolerance has.
    fn shown(&self, value: f64) -> String {
        if self.tolerance <= 0.0 {
            return format!("{value}");
        }
        let digits = (1.0 - self.tolerance.log10().floor()).clamp(0.0, 12.0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 12")]
        let text = format!("{value:.*}", digits as usize);
        text
    }
}
