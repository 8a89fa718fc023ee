//! The high field inside a growing film: how fast it grows at a voltage.

use crate::anodise::Anodise;
use crate::charge::Oxide;

const ZERO_C_IN_K: f64 = 273.15;
/// Exponents beyond this mean "as fast as the supply gives".
const STEEPEST: f64 = 80.0;

/// Factor of a growth ratio that holds at `at_c` in a bath of `bath_c`: in proportion to absolute temperature. A rule from
/// memory (V T constant, Torrisi 1955); a warmer bath thickens the film is published for tantalum (Vermilyea 1953) and
/// niobium (Ono and Asoh).
pub fn warmth(at_c: f64, bath_c: f64) -> f64 {
    (bath_c + ZERO_C_IN_K) / (at_c + ZERO_C_IN_K)
}

/// A film that grows by i = i_ref exp(b (E / E_ref - 1)), with E the voltage over the film divided by its thickness above
/// the offset, and E_ref = 1 / ratio the field at the current density i_ref.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | b | slope B times the field E_ref | 1 |
/// | i_ref | current density at which the ratio of the law holds | mA/cm2 |
///
/// Source of the form: A. Guntherschulze and H. Betz, as written by D. A. Vermilyea, Acta Metall. 1, 282 (1953);
/// M. M. Lohrengel, Mater. Sci. Eng. R 11, 243 (1993), who says that it explains only parts of the experiments. b and
/// i_ref come from data with their status. The ratio rises in proportion to absolute temperature where `warms` says so.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HighField {
    /// Offset and ratio: thickness = offset + ratio * volts at i_ref.
    pub law: Anodise,
    /// What a nanometre costs.
    pub oxide: Oxide,
    /// b.
    pub slope: f64,
    /// i_ref, mA/cm2.
    pub at_ma_per_cm2: f64,
    /// Temperature at which the ratio holds, C.
    pub at_c: f64,
    /// Temperature of the bath, C.
    pub bath_c: f64,
    /// Whether the ratio goes with absolute temperature.
    pub warms: bool,
}

impl HighField {
    /// Growth ratio in this bath at i_ref, nm/V.
    pub fn ratio_nm_per_v(&self) -> f64 {
        let factor = if self.warms { warmth(self.at_c, self.bath_c) } else { 1.0 };
        self.law.ratio_nm_per_v * factor
    }

    /// Thickness at which a film under `film_v` volts draws i_ref, nm.
    pub fn thickness_nm(&self, film_v: f64) -> f64 {
        self.law.offset_nm + self.ratio_nm_per_v() * film_v.max(0.0)
    }

    /// Current density of a film of `thickness_nm` under `film_v` volts, A/cm2, and its slope by the voltage, A/cm2/V.
    pub fn current_a_per_cm2(&self, thickness_nm: f64, film_v: f64) -> (f64, f64) {
        if film_v <= 0.0 {
            return (0.0, 0.0);
        }
        // A film no thicker than its offset holds no voltage back.
        let grown = (thickness_nm - self.law.offset_nm).max(1e-6);
        let share = self.ratio_nm_per_v() / grown;
        let exponent = self.slope * (film_v * share - 1.0);
        let current = 1e-3 * self.at_ma_per_cm2 * libm::exp(exponent.min(STEEPEST));
        let slope = if exponent < STEEPEST { current * self.slope * share } else { 0.0 };
        // Without voltage there is no current: the sinh of the full law, as its two branches.
        let back = 1e-3 * self.at_ma_per_cm2 * libm::exp((-self.slope * (film_v * share + 1.0)).max(-2.0 * STEEPEST));
        ((current - back).max(0.0), slope)
    }

    /// Rate of growth at a current density, nm/s.
    pub fn rate_nm_per_s(&self, current_a_per_cm2: f64) -> f64 {
        current_a_per_cm2 / self.oxide.coulomb_per_cm2_nm()
    }

    /// Current density that keeps a film growing at `volts_per_s`, A/cm2: q k s.
    pub fn ramp_a_per_cm2(&self, volts_per_s: f64) -> f64 {
        self.oxide.coulomb_per_cm2_nm() * self.ratio_nm_per_v() * volts_per_s
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;

    /// Titania as the checks of oxide-growth.md take it: no offset, 2.2 nm/V, 3.8 g/cm3, b 46.
    pub(crate) fn titania() -> HighField {
        HighField {
            law: Anodise {
                offset_nm: 0.0,
                offset_sd_nm: 0.0,
                ratio_nm_per_v: 2.2,
                ratio_sd_nm_per_v: 0.0,
                consumed: 0.505,
                repeatability_v: 0.0,
            },
            oxide: Oxide { electrons: 4.0, molar_mass_g: 79.866, density_g_cm3: 3.8, efficiency: 1.0 },
            slope: 46.0,
            at_ma_per_cm2: 1.0,
            at_c: 20.0,
            bath_c: 20.0,
            warms: true,
        }
    }

    #[test]
    fn two_decades_of_current_move_the_field_by_a_tenth() {
        // Text citing Ord, Hopper and Wang (1972), oxide-growth.md A06: fields at 0.1 and 10 mA/cm2 differ by about 10 %.
        let film = titania();
        let volts_for = |ma: f64| {
            let (mut low, mut high) = (0.0, 200.0);
            for _ in 0..80 {
                let middle = 0.5 * (low + high);
                if film.current_a_per_cm2(100.0, middle).0 < 1e-3 * ma { low = middle } else { high = middle }
            }
            low
        };
        assert!((volts_for(10.0) / volts_for(0.1) - 1.10).abs() < 0.03 * 1.10);
    }

    #[test]
    fn a_ramp_of_a_volt_a_second_draws_four_milliamperes() {
        // oxide-growth.md Q21 (derived).
        assert!((1e3 * titania().ramp_a_per_cm2(1.0) / 4.04 - 1.0).abs() < 1e-3);
    }

    #[test]
    fn warmth_thickens() {
        // oxide-growth.md T03: from 25 to 85 C a factor of 1.20 (rule from memory).
        let at = |bath_c| HighField { bath_c, ..titania() }.ratio_nm_per_v();
        assert!((at(85.0) / at(25.0) - 1.20).abs() < 0.005);
    }
}
