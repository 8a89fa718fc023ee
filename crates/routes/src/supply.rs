//! What a supply really puts on the film, beside what its meter reads.

use std::f64::consts::{FRAC_1_PI, FRAC_1_SQRT_2, FRAC_2_PI};

/// The shape of a supply's voltage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wave {
    /// Direct, without ripple.
    Smooth,
    /// Both halves of a sine, not filtered.
    FullWave,
    /// One half of a sine, not filtered.
    HalfWave,
}

/// What a meter reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meter {
    /// The mean.
    Average,
    /// The root of the mean square.
    Rms,
    /// The crest.
    Peak,
}

impl Wave {
    /// Reading of `meter` for a crest of 1 V. The film grows to the crest: it holds back whatever is below.
    pub fn reading(self, meter: Meter) -> f64 {
        match (self, meter) {
            (Self::Smooth, _) | (_, Meter::Peak) => 1.0,
            (Self::FullWave, Meter::Average) => FRAC_2_PI,
            (Self::FullWave, Meter::Rms) => FRAC_1_SQRT_2,
            (Self::HalfWave, Meter::Average) => FRAC_1_PI,
            (Self::HalfWave, Meter::Rms) => 0.5,
        }
    }
}

/// The nearest voltage that cells of `step_v` in series give, at most `most_v`, V.
pub fn stacked_v(wanted_v: f64, step_v: f64, most_v: f64) -> f64 {
    let most = (most_v / step_v + 1e-9).floor();
    (wanted_v / step_v).round().clamp(0.0, most) * step_v
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_meter_of_means_hides_the_crest() {
        // Of an unfiltered full wave: mean 2/pi, rms 1/sqrt 2 of the crest; of a half wave: 1/pi and 1/2.
        let crest = 39.3 / Wave::FullWave.reading(Meter::Average);
        assert!((crest - 61.7).abs() < 0.1);
        assert!((Wave::HalfWave.reading(Meter::Rms) - 0.5).abs() < 1e-15);
        assert!((Wave::Smooth.reading(Meter::Average) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn batteries_come_in_steps() {
        assert!((stacked_v(25.0, 9.0, 90.0) - 27.0).abs() < 1e-12);
        assert!((stacked_v(100.0, 9.0, 90.0) - 90.0).abs() < 1e-12);
    }
}
