//! Metal that leaves a hot part in vacuum: zinc from brass and from zinc castings.

const ZERO_C_IN_K: f64 = 273.15;
/// Standard atmosphere (exact), Pa.
const ATMOSPHERE_PA: f64 = 101_325.0;
/// Gas constant (exact, SI 2019), J/(mol K).
const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// Vapour over a solid metal: log10(P / atm) = a - b / T.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vapour {
    /// a.
    pub a: f64,
    /// b, K.
    pub b_k: f64,
    /// Molar mass of the vapour, which is of single atoms, g/mol.
    pub molar_mass_g: f64,
    /// Density of the solid, g/cm3.
    pub density_g_cm3: f64,
    /// Temperatures between which the pair holds, C.
    pub valid_c: [f64; 2],
}

/// Zinc, solid, to its melting point. The pair: C. B. Alcock and others, Can. Metall. Q. 23, 309 (1984), from memory
/// (coatings.md 3.5.12, status M); molar mass and density from memory.
pub const ZINC: Vapour =
    Vapour { a: 6.102, b_k: 6776.0, molar_mass_g: 65.38, density_g_cm3: 7.14, valid_c: [25.0, 419.5] };

impl Vapour {
    /// Pressure over the pure metal at `temperature_c`, Pa; `None` outside the range of the pair.
    ///
    /// `log10(P / 101325 Pa) = a - b / T`. Zinc at 250 C: 1.4e-2 Pa, a tenth of the pressure of a sputter run.
    pub fn pressure_pa(&self, temperature_c: f64) -> Option<f64> {
        let held = (self.valid_c[0]..=self.valid_c[1]).contains(&temperature_c);
        held.then(|| ATMOSPHERE_PA * libm::pow(10.0, self.a - self.b_k / (temperature_c + ZERO_C_IN_K)))
    }

    /// Micrometres an hour that leave the bare metal at `temperature_c` when nothing comes back, by the law of Langmuir:
    /// activity P sqrt(M / (2 pi R T)) / density. `None` outside the range of the pair.
    ///
    /// `activity`: of the metal in its alloy, 0 to 1; 1 for the pure one. Brass is lower than its share of zinc, and its
    /// skin soon runs out of zinc, so that a long run loses less.
    pub fn free_um_per_h(&self, temperature_c: f64, activity: f64) -> Option<f64> {
        let pressure = activity * self.pressure_pa(temperature_c)?;
        let kelvin = temperature_c + ZERO_C_IN_K;
        let molar = 1e-3 * self.molar_mass_g;
        let kg_per_m2_s = pressure * (molar / (2.0 * std::f64::consts::PI * GAS_CONSTANT * kelvin)).sqrt();
        Some(kg_per_m2_s / (1e3 * self.density_g_cm3) * 1e6 * 3600.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_law_beyond_melting() {
        assert!(ZINC.pressure_pa(419.0).is_some() && ZINC.pressure_pa(420.0).is_none());
        assert!(ZINC.free_um_per_h(10.0, 1.0).is_none());
    }

    #[test]
    fn an_alloy_loses_by_its_activity() {
        let share = ZINC.free_um_per_h(300.0, 0.1).unwrap() / ZINC.free_um_per_h(300.0, 1.0).unwrap();
        assert!((share - 0.1).abs() < 1e-12);
    }
}
