//! The balance of [`crate::reactive`] from a shop's own loop: flow and cathode volts, rising and falling.
//!
//! The volts are taken to go with the compound on the target, V = V_metal (1 - theta_t) + V_compound theta_t: a common
//! simplification, no source. A loop then tells six numbers, the four of the balance without units and the two voltages;
//! areas, stickings and the pump are known only beside one another.

use crate::reactive::{Balance, Shape};

mod hunt;

/// Fewest readings: as many as there are numbers to tell.
pub const FEWEST: usize = 6;

/// A voltmeter is not believed further than this, V (one standard deviation): common practice, no source.
pub const READING_V: f64 = 0.3;

/// Nor a flow meter further than this share of its flow: common practice, no source. The ranges of the turning flows reach
/// so much further.
pub const READING_FLOW: f64 = 0.005;

/// Why a loop cannot be fitted.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FitError {
    /// Too little was read.
    #[error(
        "{rising} readings with rising and {falling} with falling flow: at least 6 in all are needed, at least 2 of them \
         in each direction; read the volts at more flows"
    )]
    TooFew {
        /// Readings with the flow rising.
        rising: usize,
        /// Readings with the flow falling.
        falling: usize,
    },
    /// A reading that cannot be.
    #[error("a reading of {flow_sccm} sccm and {volts} V: both must be above 0")]
    Reading {
        /// Its flow.
        flow_sccm: f64,
        /// Its volts.
        volts: f64,
    },
    /// The volts tell nothing.
    #[error(
        "the volts lie between {low_v} V and {high_v} V and tell nothing of the target; read from flows at which it is \
         bare metal to flows at which it is covered"
    )]
    Flat {
        /// Least volts.
        low_v: f64,
        /// Most volts.
        high_v: f64,
    },
}

/// A turning flow and the range of it in all fits that explain the loop about as well.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turning {
    /// Flow at which it jumps to compound, sccm.
    pub up_sccm: f64,
    /// Least and most of that.
    pub up_range: [f64; 2],
    /// Flow at which it jumps back, sccm.
    pub down_sccm: f64,
    /// Least and most of that.
    pub down_range: [f64; 2],
}

/// A loop explained.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// The balance, with area and sticking of the target and sticking of the walls as they were given.
    pub balance: Balance,
    /// Volts of the bare target.
    pub volts_metal: f64,
    /// Volts of the covered target.
    pub volts_compound: f64,
    /// Root of the mean square by which the readings lie beside the loop, V.
    pub residual_v: f64,
    /// Turning flows of the best fit; `None`: it does not jump.
    pub turning: Option<Turning>,
    /// Whether fits about as good disagree on whether anything jumps.
    pub jump_in_doubt: bool,
    /// How many fits about as good the ranges were taken from.
    pub fits: usize,
}

impl Fitted {
    /// Cathode volts of a state.
    pub fn volts(&self, target_compound: f64) -> f64 {
        self.volts_metal + (self.volts_compound - self.volts_metal) * target_compound
    }
}

/// One reading.
#[derive(Debug, Clone, Copy)]
struct Reading {
    flow: f64,
    volts: f64,
    risen: bool,
}

/// The loop against which shapes are judged.
#[derive(Debug)]
struct Loop {
    readings: Vec<Reading>,
}

/// How a shape explains the loop.
#[derive(Debug, Clone, Copy)]
struct Judged {
    /// Sum of squares, V^2, with a small price for shapes out of all reason.
    squares: f64,
    volts: [f64; 2],
}

/// What is tried: logarithms of scale (over the greatest flow), beta, kappa, sigma.
type Point = [f64; 4];

/// Least and most that is believed of beta, kappa and sigma; the scale follows the flows.
const BELIEVED: [[f64; 2]; 4] = [[1e-6, 1e3], [0.01, 0.97], [0.1, 3e3], [1e-3, 1e4]];

impl Loop {
    fn most_flow(&self) -> f64 {
        self.readings.iter().map(|r| r.flow).fold(0.0, f64::max)
    }

    fn shape(&self, p: &Point) -> Shape {
        let [scale, beta, kappa, sigma] = p.map(libm::exp);
        Shape { scale_sccm: scale * self.most_flow(), beta, kappa, sigma }
    }

    /// Sum of squares of the volts with the two voltages that suit the shape best.
    fn judge(&self, p: &Point) -> Judged {
        let outside = |(value, [low, high]): (&f64, &[f64; 2])| *value < libm::log(*low) || *value > libm::log(*high);
        if p.iter().zip(&BELIEVED).any(outside) {
            return Judged { squares: f64::INFINITY, volts: [0.0; 2] };
        }
        let shape = self.shape(p);
        let turning = shape.turning();
        let covered = |r: &Reading| {
            let x = shape.come_to(r.flow / shape.scale_sccm, turning, r.risen);
            x / (1.0 + x)
        };
        let (mut n, mut sx, mut sy, mut sxx, mut sxy, mut syy) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        let middle = self.readings[0].volts;
        for r in &self.readings {
            let (x, y) = (covered(r), r.volts - middle);
            n += 1.0;
            sx += x;
            sy += y;
            sxx += x * x;
            sxy += x * y;
            syy += y * y;
        }
        let spread = sxx - sx * sx / n;
        let slope = if spread > 1e-9 { (sxy - sx * sy / n) / spread } else { 0.0 };
        let metal = (sy - slope * sx) / n;
        let squares = (syy - sy * sy / n - slope * slope * spread).max(0.0);
        Judged { squares, volts: [metal + middle, metal + slope + middle] }
    }

    /// Flows at which the shape turns, sccm.
    fn turns(&self, p: &Point) -> Option<[f64; 2]> {
        let shape = self.shape(p);
        shape.turning().map(|xs| xs.map(|x| shape.scale_sccm * shape.flow(x)))
    }
}

/// Fits the balance to readings of flow (sccm) and cathode volts taken while the flow rose (`up`) and fell (`down`).
///
/// `start` gives what a loop cannot tell, and is kept: area, sticking and current of the target, sticking of the walls,
/// gas and temperature. Yields, wall area and pumping speed are fitted, so that they stand beside those;
/// [`Balance::told_pumping`] puts in a pump that is known.
///
/// Least squares of the volts; from a fixed set of beginnings, then by simplices, so that the same loop always gives the
/// same answer. The ranges are those of all sets of the six numbers met whose sum of squares is above the least by at most
/// t^2 s^2: s the scatter of the n readings about the best fit, sqrt(sum / (n - 6)), and at least [`READING_V`]; t
/// Student's factor for 95 % with n - 6 degrees of freedom (at least 1); flows are taken as read, and the ranges reach
/// [`READING_FLOW`] further instead. They hold what the readings leave open if the
/// model is right; of a chamber that the model does not describe they say nothing, and [`Fitted::residual_v`] does.
///
/// # Errors
/// [`FitError`] when there are fewer than [`FEWEST`] readings or fewer than two in a direction, one is not above 0, or
/// the volts do not differ.
pub fn fit(up: &[[f64; 2]], down: &[[f64; 2]], start: &Balance) -> Result<Fitted, FitError> {
    let rows = up.iter().map(|r| (r, true)).chain(down.iter().map(|r| (r, false)));
    let readings: Vec<Reading> =
        rows.map(|([flow, volts], risen)| Reading { flow: *flow, volts: *volts, risen }).collect();
    if readings.len() < FEWEST || up.len() < 2 || down.len() < 2 {
        return Err(FitError::TooFew { rising: up.len(), falling: down.len() });
    }
    let good = |v: f64| v.is_finite() && v > 0.0;
    if let Some(r) = readings.iter().find(|r| !good(r.flow) || !good(r.volts)) {
        return Err(FitError::Reading { flow_sccm: r.flow, volts: r.volts });
    }
    let low_v = readings.iter().map(|r| r.volts).fold(f64::INFINITY, f64::min);
    let high_v = readings.iter().map(|r| r.volts).fold(0.0, f64::max);
    if high_v - low_v < 5.0 * READING_V {
        return Err(FitError::Flat { low_v, high_v });
    }
    let data = Loop { readings };
    let found = hunt::hunt(&data);
    let judged = data.judge(&found.best);
    let range = |which: usize, at: f64| {
        found
            .turns
            .iter()
            .flatten()
            .fold([at, at], |[low, high], turns| [f64::min(low, turns[which]), f64::max(high, turns[which])])
    };
    let range = |which: usize, at: f64| {
        let [low, high] = range(which, at);
        [low * (1.0 - READING_FLOW), high * (1.0 + READING_FLOW)]
    };
    let turning = data.turns(&found.best).map(|[up, down]| Turning {
        up_sccm: up,
        up_range: range(0, up),
        down_sccm: down,
        down_range: range(1, down),
    });
    #[expect(clippy::cast_precision_loss, reason = "some tens of readings")]
    let count = data.readings.len() as f64;
    Ok(Fitted {
        balance: start.with_shape(&data.shape(&found.best)),
        volts_metal: judged.volts[0],
        volts_compound: judged.volts[1],
        residual_v: (judged.squares / count).sqrt(),
        turning,
        jump_in_doubt: found.turns.iter().any(|t| t.is_some() != turning.is_some()),
        fits: found.turns.len(),
    })
}

#[cfg(test)]
#[path = "reactive_fit_tests.rs"]
mod tests;
