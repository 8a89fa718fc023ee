//! Sputter and arc, first form: a film of given thickness.

use crate::{Draw, Grown};

/// A machine that lays a film by time at a rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deposit {
    /// One standard deviation of thickness from run to run, as a share of it.
    pub repeatability: f64,
    /// The same for what does not depend on the thickness: the shutter, and the turn that is broken off, nm.
    pub repeatability_nm: f64,
    /// One standard deviation of a family's composition from run to run.
    pub repeatability_composition: f64,
    /// How far the machine's own map from flow to composition may be off, one standard deviation; 0 where the composition
    /// is set as such.
    pub doubt_composition: f64,
    /// Deposition rate, nm/min; `None`: the operator knows.
    pub rate_nm_per_min: Option<f64>,
}

/// Run-to-run scatter of a family's slider when the workshop does not say: gas flow and target state wander.
/// Common practice, no source.
pub const REPEATABILITY_COMPOSITION: f64 = 0.02;

impl Deposit {
    /// What a run set to `thickness_nm` lays. Nothing below is consumed. The machine's own constants are its operator's
    /// calibration, so only the run strays.
    pub fn grow(&self, thickness_nm: f64, draw: Draw) -> Grown {
        let share_nm = thickness_nm * self.repeatability;
        let sd_nm = (share_nm * share_nm + self.repeatability_nm * self.repeatability_nm).sqrt();
        Grown { thickness_nm: (thickness_nm + draw.run * sd_nm).max(0.0), consumed_nm: 0.0 }
    }

    /// The composition that a run set to `composition` gives, within `range`.
    pub fn composition(&self, composition: f64, range: [f64; 2], draw: Draw) -> f64 {
        (composition + self.composition_shift(draw)).clamp(range[0], range[1])
    }

    /// How far off a run's composition is.
    pub fn composition_shift(&self, draw: Draw) -> f64 {
        draw.run_composition * self.repeatability_composition + draw.constant[0] * self.doubt_composition
    }

    /// Seconds with the shutter open for `thickness_nm`.
    pub fn seconds(&self, thickness_nm: f64) -> Option<f64> {
        self.rate_nm_per_min.map(|rate| thickness_nm / rate * 60.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rate_gives_the_shutter_time() {
        // 2 um/h is 33.3 nm/min: 25 nm take 45 s (coatings.md 3.1.27, arithmetic).
        let machine = Deposit {
            repeatability: 0.1,
            repeatability_nm: 0.0,
            repeatability_composition: 0.0,
            doubt_composition: 0.0,
            rate_nm_per_min: Some(2000.0 / 60.0),
        };
        assert!((machine.seconds(25.0).unwrap() - 45.0).abs() < 1e-9);
        let grown = machine.grow(25.0, Draw { run: 1.0, ..Draw::default() });
        assert!((grown.thickness_nm - 27.5).abs() < 1e-12);
        // A shutter that strays by 6 nm beside 8 % of 100 nm: 10 nm together.
        let shutter = Deposit { repeatability: 0.08, repeatability_nm: 6.0, ..machine };
        let grown = shutter.grow(100.0, Draw { run: -1.0, ..Draw::default() });
        assert!((grown.thickness_nm - 90.0).abs() < 1e-12);
    }
}
