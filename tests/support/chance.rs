//! Numbers that look random and are the same on every machine.

/// A linear congruential generator (the multiplier and increment of D. E. Knuth's MMIX).
#[derive(Debug, Clone)]
pub struct Chance(u64);

impl Chance {
    /// Starts from a seed.
    pub fn new(seed: u64) -> Self {
        let mut chance = Self(seed);
        // Small seeds begin alike.
        for _ in 0..4 {
            chance.unit();
        }
        chance
    }

    /// 0..1.
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 32).unwrap_or(0)) / 4_294_967_296.0
    }

    /// `low..high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// One of the choices.
    ///
    /// # Panics
    /// When there are none.
    pub fn pick<'a, T>(&mut self, choices: &'a [T]) -> &'a T {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "an index below a small length"
        )]
        let i = (self.unit() * choices.len() as f64) as usize;
        &choices[i.min(choices.len() - 1)]
    }
}
