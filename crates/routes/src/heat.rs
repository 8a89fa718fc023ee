//! Heat in air: parabolic oxidation.

use crate::{Draw, Grown};

/// Molar gas constant, J/(mol K), exact (SI 2019).
const GAS_CONSTANT: f64 = 8.314_462_618_153_24;
const ZERO_C_IN_K: f64 = 273.15;

/// d^2 = d0^2 + k0 exp(-Ea/(R T)) t (C. Wagner, Z. Phys. Chem. B 21, 25, 1933): growth by diffusion through the film.
///
/// Used only between the temperatures and times that its points cover. The thickness is known within a factor: one
/// standard deviation of its logarithm is half the logarithm of that factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heat {
    /// Activation energy, kJ/mol.
    pub activation_kj_per_mol: f64,
    /// k0, nm^2/s.
    pub k0_nm2_per_s: f64,
    /// Factor within which thickness is known; 1: exactly.
    pub factor: f64,
    /// nm of what lies below that 1 nm of oxide consumes.
    pub consumed: f64,
    /// One standard deviation of the temperature from run to run, K.
    pub repeatability_c: f64,
}

impl Heat {
    /// Rate constant k at `temperature_c`, nm^2/s.
    pub fn rate_nm2_per_s(&self, temperature_c: f64) -> f64 {
        let kelvin = (temperature_c + ZERO_C_IN_K).max(1.0);
        self.k0_nm2_per_s * libm::exp(-self.activation_kj_per_mol * 1e3 / (GAS_CONSTANT * kelvin))
    }

    /// What one kelvin more adds to a film of `thickness_nm` that grew on `existing_nm` at `temperature_c`, nm:
    /// (d^2 - d0^2) / (2 d) Ea / (R T^2).
    pub fn nm_per_kelvin(&self, temperature_c: f64, thickness_nm: f64, existing_nm: f64) -> f64 {
        let kelvin = (temperature_c + ZERO_C_IN_K).max(1.0);
        let grown = (thickness_nm * thickness_nm - existing_nm * existing_nm) / (2.0 * thickness_nm.max(1e-9));
        grown * self.activation_kj_per_mol * 1e3 / (GAS_CONSTANT * kelvin * kelvin)
    }

    /// What `minutes` at `temperature_c` make of an oxide of `existing_nm`.
    pub fn grow(&self, temperature_c: f64, minutes: f64, existing_nm: f64, draw: Draw) -> Grown {
        let known_within = libm::exp(0.5 * draw.constant[0] * libm::log(self.factor));
        let temperature = temperature_c + draw.run * self.repeatability_c;
        let square =
            existing_nm * existing_nm + known_within * known_within * self.rate_nm2_per_s(temperature) * minutes * 60.0;
        let thickness_nm = square.sqrt();
        Grown { thickness_nm, consumed_nm: (thickness_nm - existing_nm) * self.consumed }
    }

    /// Nominal temperature that makes `thickness_nm` in `minutes`, C; `None` when the film is already that thick.
    pub fn temperature_c(&self, thickness_nm: f64, minutes: f64, existing_nm: f64) -> Option<f64> {
        let rate = (thickness_nm * thickness_nm - existing_nm * existing_nm) / (minutes * 60.0);
        let logarithm = libm::log(self.k0_nm2_per_s / rate);
        (rate > 0.0 && logarithm > 0.0)
            .then(|| self.activation_kj_per_mol * 1e3 / (GAS_CONSTANT * logarithm) - ZERO_C_IN_K)
    }

    /// Nominal time that makes `thickness_nm` at `temperature_c`, minutes.
    pub fn minutes(&self, thickness_nm: f64, temperature_c: f64, existing_nm: f64) -> f64 {
        (thickness_nm * thickness_nm - existing_nm * existing_nm) / self.rate_nm2_per_s(temperature_c) / 60.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn temperature_and_time_invert_growth() {
        let law = Heat {
            activation_kj_per_mol: 87.2,
            k0_nm2_per_s: 1.139e5,
            factor: 3.0,
            consumed: 0.5,
            repeatability_c: 8.0,
        };
        let grown = law.grow(550.0, 60.0, 5.0, Draw::default()).thickness_nm;
        assert!((law.temperature_c(grown, 60.0, 5.0).unwrap() - 550.0).abs() < 1e-9);
        assert!((law.minutes(grown, 550.0, 5.0) - 60.0).abs() < 1e-9);
        let warmer = law.grow(550.5, 60.0, 5.0, Draw::default()).thickness_nm;
        let cooler = law.grow(549.5, 60.0, 5.0, Draw::default()).thickness_nm;
        assert!((law.nm_per_kelvin(550.0, grown, 5.0) / (warmer - cooler) - 1.0).abs() < 1e-4);
        assert!(law.temperature_c(4.0, 60.0, 5.0).is_none());
        let two_sd = law.grow(550.0, 60.0, 0.0, Draw { constant: [2.0, 0.0], ..Draw::default() }).thickness_nm;
        let nominal = law.grow(550.0, 60.0, 0.0, Draw::default()).thickness_nm;
        assert!((two_sd / nominal - 3.0).abs() < 1e-9);
    }
}
