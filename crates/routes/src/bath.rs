//! The bath as a conductor: how well it conducts, and what that costs in volts.

/// Conductivity of a solution against its strength, at one temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Conductivity {
    /// Mass per cent, rising.
    pub percent: Vec<f64>,
    /// mS/cm at each strength.
    pub ms_per_cm: Vec<f64>,
    /// Temperature of the table, C.
    pub at_c: f64,
    /// Relative rise for each kelvin, 1/K.
    pub per_k: f64,
}

impl Conductivity {
    /// Conductivity at `percent` and `temperature_c`, mS/cm: linear between the points and, below the first, down to
    /// none for water; `None` beyond the last.
    ///
    /// The temperature enters as a straight line, good for a few tens of kelvin; it never falls below a tenth.
    pub fn at(&self, percent: f64, temperature_c: f64) -> Option<f64> {
        let warmth = (1.0 + self.per_k * (temperature_c - self.at_c)).max(0.1);
        let (mut below, mut low) = (0.0, 0.0);
        for (strength, value) in self.percent.iter().zip(&self.ms_per_cm) {
            if percent <= *strength {
                let share = if *strength > below { (percent - below) / (strength - below) } else { 1.0 };
                return Some(warmth * (low + share * (value - low)));
            }
            (below, low) = (*strength, *value);
        }
        None
    }
}

/// Resistance of a bath between flat, equal, parallel electrodes, ohm: L / (kappa A).
///
/// A real jar, with a small cathode or a part of many faces, lies above or below it; field lines that spread lower it.
pub fn resistance_ohm(ms_per_cm: f64, gap_mm: f64, area_cm2: f64) -> f64 {
    (gap_mm / 10.0) / (ms_per_cm * 1e-3 * area_cm2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn citric() -> Conductivity {
        // CRC Handbook, Electrical Conductivity of Aqueous Solutions: citric acid at 20 C.
        Conductivity { percent: vec![0.5, 1.0, 2.0, 5.0], ms_per_cm: vec![1.2, 2.1, 3.0, 4.7], at_c: 20.0, per_k: 0.02 }
    }

    #[test]
    fn the_table_is_read_at_its_points_between_them_and_not_beyond() {
        assert_eq!(citric().at(1.0, 20.0), Some(2.1));
        assert!((citric().at(1.5, 20.0).unwrap() - 2.55).abs() < 1e-12);
        assert!((citric().at(0.25, 20.0).unwrap() - 0.6).abs() < 1e-12);
        assert!((citric().at(1.0, 30.0).unwrap() - 2.52).abs() < 1e-12);
        assert_eq!(citric().at(6.0, 20.0), None);
    }

    #[test]
    fn a_weak_bath_costs_volts() {
        // oxide-growth.md C11: 1 mA/cm2 across 5 cm of 1 % citric acid: 2.38 V (derived there by the same formula).
        assert!((1e-3 * resistance_ohm(2.1, 50.0, 1.0) - 2.38).abs() < 0.005);
    }
}
