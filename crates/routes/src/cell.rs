//! The balance of a cell: what of the supply's voltage is left over the film, and what current flows.

use crate::field::HighField;

/// What a supply that names no limit is taken to give, A for each cm2: far above what a finish bears.
pub const ENDLESS_A_PER_CM2: f64 = 1.0;

/// What lies between the supply and the film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Resistance of the bath times the area under it, ohm cm2: the gap over the conductivity.
    pub bath_ohm_cm2: f64,
    /// Resistance of leads and supply, ohm.
    pub series_ohm: f64,
    /// Greatest current, A; `None`: not named.
    pub most_a: Option<f64>,
    /// Volts lost at the cathode beyond what the growth law already holds.
    pub cathode_v: f64,
}

/// A piece of the part that is of one thickness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Zone {
    /// Its area, cm2.
    pub area_cm2: f64,
    /// Thickness of its film, nm.
    pub thickness_nm: f64,
}

/// What flows at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Volts over the film.
    pub film_v: f64,
    /// Volts at the terminals of the supply: as set, or less while it gives all it can.
    pub cell_v: f64,
    /// Total current, A.
    pub current_a: f64,
    /// Whether the supply gives all it can.
    pub limited: bool,
}

impl Cell {
    /// V_film = V_set - eta_cathode - I R, with I = sum of A i(d, V_film) and I never above the supply's limit.
    ///
    /// `wet` holds what is under the liquid: areas in cm2 and thicknesses in nm. `guess_v` is where to begin, such as the
    /// answer of the moment before. The form of the balance: D. A. Vermilyea (1954), as abstracted in oxide-growth.md A01;
    /// the reversible potential is part of the offset of the growth law.
    ///
    /// The bath is as many columns as there are zones, each with the current of its own zone: finished areas, which take
    /// nothing, leave the liquid before them idle. One resistance stands for the columns, that which turns as much power
    /// into heat: rho L sum(A i^2) / (sum A i)^2; with one zone it is rho L / A.
    pub fn balance(&self, film: &HighField, wet: &[(f64, f64)], set_v: f64, guess_v: f64) -> Balance {
        let area: f64 = wet.iter().map(|(area, _)| area).sum();
        let open_v = set_v - self.cathode_v;
        if area <= 0.0 || open_v <= 0.0 {
            return Balance { film_v: open_v.max(0.0), cell_v: set_v.max(0.0), current_a: 0.0, limited: false };
        }
        let most_a = self.most_a.unwrap_or(ENDLESS_A_PER_CM2 * area);
        let flow = |v: f64| {
            wet.iter().fold((0.0, 0.0, 0.0), |(current, slope, square), (area, thickness)| {
                let (i, s) = film.current_a_per_cm2(*thickness, v);
                (current + area * i, slope + area * s, square + area * i * i)
            })
        };
        let ohm = |current: f64, square: f64| {
            self.series_ohm + if current > 0.0 { self.bath_ohm_cm2 * square / (current * current) } else { 0.0 }
        };
        let resists = self.series_ohm > 0.0 || self.bath_ohm_cm2 > 0.0;
        if !resists && flow(open_v).0 <= most_a {
            return Balance { film_v: open_v, cell_v: set_v, current_a: flow(open_v).0, limited: false };
        }
        let (mut low, mut high) = (0.0, open_v);
        let mut v = if guess_v > low && guess_v < high { guess_v } else { 0.5 * (low + high) };
        for _ in 0..200 {
            let (current, slope, square) = flow(v);
            // The logarithm of the current less that of what may flow: what the supply gives, and what is left for the bath.
            let lost = current * ohm(current, square);
            let by_supply = libm::log(current / most_a);
            let by_bath = if resists && open_v > v { libm::log(lost / (open_v - v)) } else { f64::NEG_INFINITY };
            let excess = if current <= 0.0 { -1.0 } else { by_supply.max(by_bath) };
            if excess.abs() < 1e-13 || high - low < 1e-13 * open_v {
                break;
            }
            if excess > 0.0 {
                high = v
            } else {
                low = v
            }
            let fall = if by_bath > by_supply { 1.0 / (open_v - v) } else { 0.0 };
            let next = if current > 0.0 { v - excess / (slope / current + fall) } else { f64::NAN };
            v = if next > low && next < high { next } else { 0.5 * (low + high) };
        }
        // From the film's side: the difference of two near voltages would lose digits.
        let (current, _, square) = flow(v);
        let current_a = current.min(most_a);
        let limited = current_a >= most_a * (1.0 - 1e-9);
        let cell_v = if limited { v + current_a * ohm(current, square) + self.cathode_v } else { set_v };
        Balance { film_v: v, cell_v, current_a, limited }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::field::tests::titania;

    #[test]
    fn volts_add_up_and_the_limit_holds() {
        let cell = Cell { bath_ohm_cm2: 2381.0, series_ohm: 0.5, most_a: Some(0.3), cathode_v: 0.0 };
        let film = titania();
        let wet = [(20.0, 60.0), (30.0, 90.0)];
        for set_v in [5.0, 25.0, 60.0, 110.0] {
            let b = cell.balance(&film, &wet, set_v, 20.0);
            let flows: f64 = wet.iter().map(|(a, d)| a * film.current_a_per_cm2(*d, b.film_v).0).sum();
            assert!((flows / b.current_a - 1.0).abs() < 1e-9, "{set_v} V: {b:?} {flows}");
            let density = |d: f64| film.current_a_per_cm2(d, b.film_v).0;
            let squares: f64 = wet.iter().map(|(a, d)| a * density(*d) * density(*d)).sum();
            let used = b.film_v + b.current_a * (0.5 + 2381.0 * squares / (flows * flows));
            assert!(if b.limited { used < set_v } else { (used - set_v).abs() < 1e-6 }, "{set_v} V: {b:?}");
            assert!(b.current_a <= 0.3 * (1.0 + 1e-12));
        }
    }
}
