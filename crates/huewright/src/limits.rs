//! Limits as a shop gets them: how far L*, a* and b* may each be from a master, judged for every place.

use colour::Lab;
use library::AxisLimits;
use serde::Serialize;

/// The axes in their order.
pub const AXES: [&str; 3] = ["L*", "a*", "b*"];

/// Limits of the difference from a master; an axis without one may be anything.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Limits {
    pub(crate) master: Lab,
    pub(crate) axes: [Option<[f64; 2]>; 3],
}

impl Limits {
    pub(crate) fn new(master: Lab, limits: &AxisLimits) -> Self {
        Self { master, axes: [limits.l, limits.a, limits.b] }
    }

    /// How far a colour is from the master.
    pub(crate) fn difference(&self, lab: Lab) -> [f64; 3] {
        [lab.l - self.master.l, lab.a - self.master.a, lab.b - self.master.b]
    }

    /// Whether each axis is within its limits.
    pub(crate) fn inside(&self, lab: Lab) -> [bool; 3] {
        let difference = self.difference(lab);
        std::array::from_fn(|i| self.axes[i].is_none_or(|[low, high]| (low..=high).contains(&difference[i])))
    }

    /// Whether all are.
    pub(crate) fn passes(&self, lab: Lab) -> bool {
        self.inside(lab).iter().all(|inside| *inside)
    }
}

/// Shares of `samples` that are inside, axis by axis, and in all.
pub(crate) fn shares(limits: &Limits, samples: &[Lab]) -> ([f64; 3], f64) {
    #[expect(clippy::cast_precision_loss, reason = "some hundreds")]
    let share = |count: usize| count as f64 / samples.len().max(1) as f64;
    let axis = |i: usize| samples.iter().filter(|lab| limits.inside(**lab)[i]).count();
    (std::array::from_fn(|i| share(axis(i))), share(samples.iter().filter(|lab| limits.passes(**lab)).count()))
}

/// Limits of an area, judged.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitsJson {
    /// The light.
    pub light: String,
    /// `2` or `10` degrees.
    pub observer: String,
    /// L*, a*, b* of the master.
    pub master: [f64; 3],
    /// The nominal colour, axis by axis.
    pub axes: Vec<AxisJson>,
    /// Share of runs that are inside on every axis, in the middle of the load.
    pub share_inside: Option<f64>,
    /// The places of the load; empty where the coater says nothing of them.
    pub positions: Vec<PlaceInside>,
    /// Places on a part in the middle of the load; empty likewise.
    pub on_part: Vec<PlaceInside>,
    /// Share of all parts that pass at their front, every place holding as many; `null` where nothing strays that is known.
    #[serde(rename = "yield")]
    pub yields: Option<f64>,
    /// In words.
    pub words: Vec<String>,
}

/// One axis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AxisJson {
    /// `L*`, `a*`, `b*`.
    pub axis: &'static str,
    /// Limits of the difference; `null`: none.
    pub low: Option<f64>,
    /// See `low`.
    pub high: Option<f64>,
    /// Of the nominal colour from the master.
    pub difference: f64,
    /// Whether the nominal colour is inside.
    pub inside: bool,
    /// Share of runs that are.
    pub share_inside: Option<f64>,
}

/// One place of the load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlaceInside {
    /// Its name.
    pub at: String,
    /// Nominal difference from the master.
    pub difference: [f64; 3],
    /// Axis by axis.
    pub inside: [bool; 3],
    /// Share of runs whose parts there pass.
    pub share_inside: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_axis_is_judged_by_itself() {
        let master = Lab { l: 40.0, a: 4.0, b: -40.0 };
        let limits = Limits::new(master, &AxisLimits { l: Some([-2.0, 2.0]), a: None, b: Some([-1.0, 3.0]) });
        assert_eq!(limits.inside(Lab { l: 42.0, a: 90.0, b: -41.5 }), [true, true, false]);
        assert!(limits.passes(Lab { l: 38.0, a: 0.0, b: -37.0 }));
        let samples = [master, Lab { l: 45.0, ..master }, Lab { b: -42.0, ..master }, master];
        assert_eq!(shares(&limits, &samples), ([0.75, 1.0, 0.75], 0.5));
    }
}
