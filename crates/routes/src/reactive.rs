//! Sputtering in a reactive gas: what the gas does to target, walls and rate, and why the flow jumps (the balance of
//! Berg).
//!
//! Source: S. Berg and T. Nyberg, Thin Solid Films 476, 215 (2005), of which the abstract was seen; the equations in their
//! standard form, FROM MEMORY (coatings.md 3.4). No parameter here comes from a paper: those of a shop come from its own
//! loop ([`crate::reactive_fit`]).
//!
//! Left out: ions that are driven into the target, secondary electrons in the current, gas from leaks and from wet walls,
//! differences along walls and target, the time a target needs to change.

/// Charge of the electron (exact, SI 2019), C.
const ELECTRON_C: f64 = 1.602_176_634e-19;
/// Boltzmann's constant (exact, SI 2019), J/K.
const BOLTZMANN: f64 = 1.380_649e-23;
/// Atomic mass constant, kg (CODATA 2018).
const DALTON_KG: f64 = 1.660_539_066_60e-27;
/// Molecules a second in one standard cubic centimetre a minute: 1e-6 m3 at 101325 Pa and 0 C in 60 s.
pub const PER_SCCM: f64 = 101_325.0 * 1e-6 / (BOLTZMANN * 273.15 * 60.0);

/// A reactive gas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gas {
    /// Mass of a molecule, kg.
    pub mass_kg: f64,
    /// How many units of the compound one molecule completes: 2 for TiN from N2, 1 for TiO2 from O2, 2 for TiC from
    /// C2H2.
    pub units: f64,
}

impl Gas {
    /// N2 for a nitride MN.
    pub const NITROGEN: Self = Self { mass_kg: 28.014 * DALTON_KG, units: 2.0 };
    /// O2 for a dioxide MO2.
    pub const OXYGEN: Self = Self { mass_kg: 31.998 * DALTON_KG, units: 1.0 };
    /// C2H2 for a carbide MC; that its hydrogen leaves is taken for granted.
    pub const ACETYLENE: Self = Self { mass_kg: 26.038 * DALTON_KG, units: 2.0 };
}

/// A chamber with one target and one reactive gas.
///
/// With F = P / sqrt(2 pi m k T) molecules/m2/s, J = I / (e A_t) ions/m2/s, u = units of the gas, theta the share of a
/// surface that is compound (t: target, c: walls and parts):
///
/// - target: J Y_c theta_t = u a_t F (1 - theta_t)
/// - walls: J Y_c theta_t (A_t/A_c) (1 - theta_c) + u a_c F (1 - theta_c) = J Y_m (1 - theta_t) (A_t/A_c) theta_c
/// - gas: q = a_t F (1 - theta_t) A_t + a_c F (1 - theta_c) A_c + P S / (k T)
///
/// | symbol | field | unit |
/// |---|---|---|
/// | A_t, A_c | `target_m2`, `wall_m2` (walls and parts) | m2 |
/// | I | `current_a` | A |
/// | a_t, a_c | `sticking_target`, `sticking_wall` (0..=1; what a fit gives may be more, see there) | |
/// | Y_m, Y_c | `yield_metal`, `yield_compound` (metal atoms for each ion; Y_c < Y_m) | |
/// | S | `pumping_m3_s` of the reactive gas, above 0 | m3/s |
/// | T | `temperature_k` of the gas | K |
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Sputtered area of the target, m2.
    pub target_m2: f64,
    /// Area on which film grows, m2.
    pub wall_m2: f64,
    /// Current of the cathode, A; all of it is taken as ions.
    pub current_a: f64,
    /// Share of the molecules that stay on bare metal of the target.
    pub sticking_target: f64,
    /// Share of the molecules that stay on bare metal of the walls.
    pub sticking_wall: f64,
    /// Metal atoms that an ion frees from bare metal.
    pub yield_metal: f64,
    /// Metal atoms that an ion frees from the compound.
    pub yield_compound: f64,
    /// Pumping speed for the reactive gas, m3/s.
    pub pumping_m3_s: f64,
    /// The gas.
    pub gas: Gas,
    /// Temperature of the gas, K.
    pub temperature_k: f64,
}

/// A steady state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Partial pressure of the reactive gas, Pa.
    pub pressure_pa: f64,
    /// Flow of the reactive gas into the chamber, sccm.
    pub flow_sccm: f64,
    /// Of it, what the pump takes, sccm.
    pub pumped_sccm: f64,
    /// Share of the target that is compound (theta_t).
    pub target_compound: f64,
    /// Share of the growing film that is compound (theta_c): its composition.
    pub wall_compound: f64,
    /// Metal atoms that arrive on the walls, each m2 and second: J [Y_c theta_t + Y_m (1 - theta_t)] A_t / A_c.
    pub rate_per_m2_s: f64,
    /// The same over that of a bare metal target; Y_c / Y_m when all of the target is compound.
    pub rate_share: f64,
}

/// The balance without its units.
///
/// With x = u a_t F / (J Y_c), so that theta_t = x / (1 + x), the flow is q = scale f(x),
/// f = x / (1 + x) + kappa x / (1 + (1 + kappa) beta x + kappa beta x^2) + sigma x. A loop of flow and volts can tell
/// these four numbers and no more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Shape {
    /// J Y_c A_t / u, sccm: what the target takes when all of it is compound.
    pub(crate) scale_sccm: f64,
    /// Y_c / Y_m.
    pub(crate) beta: f64,
    /// a_c A_c / (a_t A_t).
    pub(crate) kappa: f64,
    /// Pumping beside what the bare target takes at the same pressure.
    pub(crate) sigma: f64,
}

impl Shape {
    /// f(x).
    pub(crate) fn flow(&self, x: f64) -> f64 {
        x / (1.0 + x) + self.kappa * x / self.under(x) + self.sigma * x
    }

    fn under(&self, x: f64) -> f64 {
        1.0 + self.beta * x * (1.0 + self.kappa * (1.0 + x))
    }

    /// The slope of f but for the pumping.
    fn bare_slope(&self, x: f64) -> f64 {
        let (one, under) = (1.0 + x, self.under(x));
        1.0 / (one * one) + self.kappa * (1.0 - self.kappa * self.beta * x * x) / (under * under)
    }

    /// Where the slope is least, and how much it is without pumping: by a scan and golden sections in log x.
    pub(crate) fn steepest(&self) -> (f64, f64) {
        // The walls turn at about 1/sqrt(kappa beta), the target at 1.
        let turn = 1.0 / (self.kappa * self.beta).sqrt();
        let (low, high) = (libm::log(0.1 * turn.min(1.0)), libm::log(30.0 * turn.max(1.0)));
        let at = |i: u32| low + (high - low) * f64::from(i) / 32.0;
        let slope = |l: f64| self.bare_slope(libm::exp(l));
        let mut best = (0, f64::INFINITY);
        for i in 0..=32 {
            let s = slope(at(i));
            if s < best.1 {
                best = (i, s);
            }
        }
        let (mut a, mut b) = (at(best.0.saturating_sub(1)), at((best.0 + 1).min(32)));
        let golden = 0.618_033_988_749_894_9;
        let (mut c, mut d) = (b - golden * (b - a), a + golden * (b - a));
        let (mut at_c, mut at_d) = (slope(c), slope(d));
        for _ in 0..40 {
            if at_c < at_d {
                (b, d, at_d) = (d, c, at_c);
                c = b - golden * (b - a);
                at_c = slope(c);
            } else {
                (a, c, at_c) = (c, d, at_d);
                d = a + golden * (b - a);
                at_d = slope(d);
            }
        }
        let x = libm::exp(0.5 * (a + b));
        (x, self.bare_slope(x))
    }

    /// Where the flow turns: its top and, at a greater x, its bottom. `None`: it never falls.
    pub(crate) fn turning(&self) -> Option<[f64; 2]> {
        let (middle, least) = self.steepest();
        if least + self.sigma >= 0.0 || self.sigma <= 0.0 {
            return None;
        }
        let falls = |x: f64| self.bare_slope(x) + self.sigma < 0.0;
        // Beyond 2 / sqrt(beta sigma) the pump has won.
        let mut far = 2.0 * middle;
        while falls(far) {
            far *= 2.0;
        }
        let between = |mut rises: f64, mut sinks: f64| {
            while (rises - sinks).abs() > 1e-13 * rises {
                let x = 0.5 * (rises + sinks);
                if x <= rises.min(sinks) || x >= rises.max(sinks) {
                    break;
                }
                if falls(x) { sinks = x } else { rises = x }
            }
            0.5 * (rises + sinks)
        };
        Some([between(0.0, middle), between(far, middle)])
    }

    /// x between `low` and `high`, where f goes from one side of `flow` to the other without turning.
    fn solve(&self, flow: f64, mut low: f64, mut high: f64) -> f64 {
        let rising = self.flow(high) > self.flow(low);
        let mut x = 0.5 * (low + high);
        for _ in 0..200 {
            let over = self.flow(x) - flow;
            if (over > 0.0) == rising {
                high = x
            } else {
                low = x
            }
            let next = x - over / (self.bare_slope(x) + self.sigma);
            let next = if next > low && next < high { next } else { 0.5 * (low + high) };
            let moved = (next - x).abs();
            x = next;
            if moved <= 1e-14 * x || high - low <= 1e-14 * high {
                break;
            }
        }
        x
    }

    /// Every x of a flow in units of the scale, by rising x: one, or three between the turning points.
    pub(crate) fn at_flow(&self, flow: f64, turning: Option<[f64; 2]>) -> Vec<f64> {
        let mut all = Vec::with_capacity(3);
        if let Some([top, bottom]) = turning {
            let (most, least) = (self.flow(top), self.flow(bottom));
            if flow <= most {
                all.push(self.solve(flow, 0.0, top));
            }
            if flow < most && flow > least {
                all.push(self.solve(flow, top, bottom));
            }
            if flow >= least {
                all.push(self.solve(flow, bottom, (flow / self.sigma).max(bottom) * (1.0 + 1e-9)));
            }
        } else {
            all.push(self.solve(flow, 0.0, flow / self.sigma * (1.0 + 1e-9)));
        }
        all
    }

    /// The x that a flow has come to: with the flow risen (the lowest) or fallen (the highest).
    pub(crate) fn come_to(&self, flow: f64, turning: Option<[f64; 2]>, risen: bool) -> f64 {
        match turning {
            Some([top, _]) if risen && flow <= self.flow(top) => self.solve(flow, 0.0, top),
            Some([_, bottom]) if risen || flow >= self.flow(bottom) => {
                self.solve(flow, bottom, (flow / self.sigma).max(bottom) * (1.0 + 1e-9))
            }
            Some([top, _]) => self.solve(flow, 0.0, top),
            None => self.solve(flow, 0.0, flow / self.sigma * (1.0 + 1e-9)),
        }
    }
}

impl Balance {
    /// Ions on the target, each m2 and second.
    fn ions(&self) -> f64 {
        self.current_a / (ELECTRON_C * self.target_m2)
    }

    /// Pa of the molecules that strike 1 m2 in a second.
    fn pressure_of_flux(&self) -> f64 {
        (2.0 * std::f64::consts::PI * self.gas.mass_kg * BOLTZMANN * self.temperature_k).sqrt()
    }

    /// Pa for x = 1.
    fn pressure_unit(&self) -> f64 {
        let flux = self.ions() * self.yield_compound / (self.gas.units * self.sticking_target);
        flux * self.pressure_of_flux()
    }

    pub(crate) fn shape(&self) -> Shape {
        Shape {
            scale_sccm: self.ions() * self.yield_compound * self.target_m2 / self.gas.units / PER_SCCM,
            beta: self.yield_compound / self.yield_metal,
            kappa: self.sticking_wall * self.wall_m2 / (self.sticking_target * self.target_m2),
            sigma: self.pumping_m3_s * self.pressure_of_flux()
                / (BOLTZMANN * self.temperature_k * self.sticking_target * self.target_m2),
        }
    }

    /// The balance with this shape: yields from the flows, walls and pumping beside the target, whose area and sticking,
    /// like the sticking of the walls, stay.
    pub(crate) fn with_shape(&self, shape: &Shape) -> Self {
        let ions = self.ions() * self.target_m2;
        let yield_compound = shape.scale_sccm * PER_SCCM * self.gas.units / ions;
        let taken = self.sticking_target * self.target_m2;
        Self {
            yield_compound,
            yield_metal: yield_compound / shape.beta,
            wall_m2: shape.kappa * taken / self.sticking_wall,
            pumping_m3_s: shape.sigma * BOLTZMANN * self.temperature_k * taken / self.pressure_of_flux(),
            ..*self
        }
    }

    /// The same loop of flow and volts with another pumping speed (m3/s, above 0): a loop tells the pump only beside what
    /// the target takes, so both stickings go along, and the pressures the other way. A sticking above 1 then says that
    /// the speed is too great for the loop, or an area too small.
    pub fn told_pumping(&self, pumping_m3_s: f64) -> Self {
        let factor = pumping_m3_s / self.pumping_m3_s;
        Self {
            pumping_m3_s,
            sticking_target: factor * self.sticking_target,
            sticking_wall: factor * self.sticking_wall,
            ..*self
        }
    }

    fn state(&self, shape: &Shape, x: f64) -> State {
        let target_compound = x / (1.0 + x);
        let pumped_sccm = shape.scale_sccm * shape.sigma * x;
        let rate_share = 1.0 - target_compound * (1.0 - shape.beta);
        State {
            pressure_pa: x * self.pressure_unit(),
            flow_sccm: shape.scale_sccm * shape.flow(x),
            pumped_sccm,
            target_compound,
            wall_compound: 1.0 - 1.0 / shape.under(x),
            rate_per_m2_s: rate_share * self.ions() * self.yield_metal * self.target_m2 / self.wall_m2,
            rate_share,
        }
    }

    /// The steady state at a partial pressure (Pa, 0 or more), which there is one of.
    pub fn at_pressure(&self, pressure_pa: f64) -> State {
        self.state(&self.shape(), pressure_pa / self.pressure_unit())
    }

    /// Where the flow turns: the upper point, at which a rising flow jumps to compound, and the lower, at which a falling
    /// one jumps back. `None`: the flow never falls while the pressure rises, and nothing jumps.
    pub fn turning(&self) -> Option<[State; 2]> {
        let shape = self.shape();
        shape.turning().map(|xs| xs.map(|x| self.state(&shape, x)))
    }

    /// The least pumping speed with which nothing jumps, m3/s.
    pub fn pumping_without_hysteresis(&self) -> f64 {
        let shape = self.shape();
        let (_, least) = shape.steepest();
        self.pumping_m3_s * (-least).max(0.0) / shape.sigma
    }

    /// The steady states at a flow (sccm, 0 or more), by rising pressure: one, or three between the turning points, of
    /// which the middle one does not hold unless the pressure is controlled.
    pub fn at_flow(&self, flow_sccm: f64) -> Vec<State> {
        let shape = self.shape();
        let xs = shape.at_flow(flow_sccm / shape.scale_sccm, shape.turning());
        xs.into_iter().map(|x| self.state(&shape, x)).collect()
    }

    /// The state to which a flow (sccm) comes that has risen from 0 (`risen`), or fallen from far above.
    pub fn come_to(&self, flow_sccm: f64, risen: bool) -> State {
        let shape = self.shape();
        self.state(&shape, shape.come_to(flow_sccm / shape.scale_sccm, shape.turning(), risen))
    }

    /// States along the whole loop by rising pressure, in `count` (at least 2) even steps of log pressure: from a
    /// twentieth of the flow at which the target turns to one and a half of it.
    pub fn curve(&self, count: u32) -> Vec<State> {
        let shape = self.shape();
        let turning = shape.turning();
        // Without a jump the target turns at x of about 1.
        let flow = turning.map_or_else(|| shape.flow(1.0), |[top, _]| shape.flow(top));
        let low = libm::log(shape.come_to(0.05 * flow, turning, true));
        let high = libm::log(shape.come_to(1.5 * flow, turning, true).max(turning.map_or(0.0, |[_, b]| 3.0 * b)));
        let last = count.max(2) - 1;
        (0..=last).map(|i| self.state(&shape, libm::exp(low + (high - low) * f64::from(i) / f64::from(last)))).collect()
    }
}

/// Thickness that so many metal atoms make as a compound, nm/min: `rate_per_m2_s` with the mass of a unit of the compound
/// (g/mol) and its density (g/cm3). Of a film that is metal in part it is the thickness that its metal would make.
pub fn nm_per_min(rate_per_m2_s: f64, molar_mass_g: f64, density_g_cm3: f64) -> f64 {
    let unit_m3 = molar_mass_g * DALTON_KG / (1e3 * density_g_cm3);
    rate_per_m2_s * unit_m3 * 1e9 * 60.0
}

#[cfg(test)]
#[path = "reactive_tests.rs"]
pub(crate) mod tests;
