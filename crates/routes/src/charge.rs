//! Charge: what a nanometre of oxide costs, and the hydrogen that it leaves at the cathode.

/// Faraday constant, C/mol, exact to the digits given (SI 2019).
pub const FARADAY: f64 = 96_485.332_12;
/// Molar volume of an ideal gas at 25 C and 101 325 Pa, L/mol: R T / p.
pub const GAS_L_PER_MOL: f64 = 24.465_4;

/// An oxide as the charge sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Oxide {
    /// Electrons for each formula unit: 4 for TiO2, 10 for Nb2O5.
    pub electrons: f64,
    /// Molar mass, g/mol.
    pub molar_mass_g: f64,
    /// Density of the film, g/cm3.
    pub density_g_cm3: f64,
    /// Share of the current that makes oxide, 0..=1; the rest makes oxygen.
    pub efficiency: f64,
}

impl Oxide {
    /// Charge that 1 nm of film on 1 cm2 costs, C: z F rho / (M eta), in nanometres.
    pub fn coulomb_per_cm2_nm(&self) -> f64 {
        self.electrons * FARADAY * self.density_g_cm3 / self.molar_mass_g * 1e-7 / self.efficiency
    }
}

/// Hydrogen that a charge sets free at the cathode, mL at 25 C and 1 atm: Q / (2 F).
pub fn hydrogen_ml(charge_c: f64) -> f64 {
    charge_c / (2.0 * FARADAY) * GAS_L_PER_MOL * 1e3
}

#[cfg(test)]
mod tests {
    use super::*;

    fn oxide(electrons: f64, molar_mass_g: f64, density_g_cm3: f64) -> f64 {
        1e3 * Oxide { electrons, molar_mass_g, density_g_cm3, efficiency: 1.0 }.coulomb_per_cm2_nm()
    }

    #[test]
    fn charges_follow_faraday() {
        // oxide-growth.md section 6, rows 7 and 8 (derived there; the densities are from memory).
        assert!((oxide(4.0, 79.866, 3.8) / 1.8363 - 1.0).abs() < 5e-4);
        assert!((oxide(10.0, 265.810, 4.36) / 1.5826 - 1.0).abs() < 5e-4);
        assert!((oxide(10.0, 441.893, 8.0) / 1.7468 - 1.0).abs() < 5e-4);
    }

    #[test]
    fn an_ampere_hour_gives_half_a_litre_of_hydrogen() {
        // oxide-growth.md X09: 0.456 L/h for each ampere.
        assert!((hydrogen_ml(3600.0) / 456.0 - 1.0).abs() < 5e-3);
    }
}
