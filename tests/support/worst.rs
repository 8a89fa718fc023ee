//! The largest of many differences.

/// Keeps the largest difference, where it was met, and how many were seen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Worst {
    /// The largest difference; NaN once one was not a number.
    pub miss: f64,
    /// Where.
    pub at: String,
    /// What was expected there.
    pub expected: f64,
    /// What we gave there.
    pub ours: f64,
    /// How many were compared.
    pub count: usize,
}

impl Worst {
    /// Compares one number.
    pub fn see(&mut self, at: impl Into<String>, ours: f64, expected: f64) {
        self.count += 1;
        let miss = (ours - expected).abs();
        // A NaN must win and stay.
        if self.count == 1 || miss > self.miss || (miss.is_nan() && !self.miss.is_nan()) {
            (self.miss, self.at, self.expected, self.ours) = (miss, at.into(), expected, ours);
        }
    }

    /// Asserts that at least one number was compared and none is off by more than `tolerance`.
    ///
    /// # Panics
    /// When that does not hold.
    pub fn within(&self, tolerance: f64) {
        assert!(self.count > 0, "nothing was compared");
        assert!(
            self.miss <= tolerance,
            "{}: off by {:e} of {tolerance:e} (expected {}, ours {})",
            self.at,
            self.miss,
            self.expected,
            self.ours
        );
    }
}
