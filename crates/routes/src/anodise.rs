//! Anodising, first form: thickness from voltage.

use crate::{Draw, Grown};

/// d = offset + ratio * V: the film stops growing when its field falls below what drives ions.
///
/// Valid between the voltages of its source; the offset is the native film. Source of the form: D. A. Vermilyea,
/// Acta Metall. 1, 282 (1953); M. M. Lohrengel, Mater. Sci. Eng. R 11, 243 (1993).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anodise {
    /// Thickness at zero volts, nm.
    pub offset_nm: f64,
    /// Its standard deviation, nm.
    pub offset_sd_nm: f64,
    /// Growth ratio, nm/V.
    pub ratio_nm_per_v: f64,
    /// Its standard deviation, nm/V.
    pub ratio_sd_nm_per_v: f64,
    /// nm of metal that 1 nm of film consumes.
    pub consumed: f64,
    /// One standard deviation of the voltage from run to run, V.
    pub repeatability_v: f64,
}

impl Anodise {
    /// Thickness that `voltage_v` grows on bare metal, nm.
    pub fn thickness_nm(&self, voltage_v: f64, draw: Draw) -> f64 {
        let offset = (self.offset_nm + draw.constant[0] * self.offset_sd_nm).max(0.0);
        let ratio = (self.ratio_nm_per_v + draw.constant[1] * self.ratio_sd_nm_per_v).max(0.0);
        offset + ratio * (voltage_v + draw.run * self.repeatability_v).max(0.0)
    }

    /// What `voltage_v` makes of a film of `existing_nm` of the same oxide: a lower voltage never thins a film.
    pub fn grow(&self, voltage_v: f64, existing_nm: f64, draw: Draw) -> Grown {
        let thickness_nm = self.thickness_nm(voltage_v, draw).max(existing_nm);
        Grown { thickness_nm, consumed_nm: (thickness_nm - existing_nm) * self.consumed }
    }

    /// Nominal voltage for a thickness, V; below zero when the native film is already thicker.
    pub fn voltage_v(&self, thickness_nm: f64) -> f64 {
        (thickness_nm - self.offset_nm) / self.ratio_nm_per_v
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lower_voltage_never_thins_a_film() {
        let titanium = Anodise {
            offset_nm: 4.0,
            offset_sd_nm: 1.0,
            ratio_nm_per_v: 1.95,
            ratio_sd_nm_per_v: 0.2,
            consumed: 0.505,
            repeatability_v: 0.5,
        };
        let high = titanium.grow(60.0, 0.0, Draw::default());
        let again = titanium.grow(20.0, high.thickness_nm, Draw::default());
        assert!((again.thickness_nm - high.thickness_nm).abs() < 1e-12 && again.consumed_nm.abs() < 1e-12);
        assert!((titanium.voltage_v(high.thickness_nm) - 60.0).abs() < 1e-12);
    }
}
