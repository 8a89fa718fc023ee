//! Area from weight: for outlines that nobody measures, cut from sheet or wire of known thickness.

use crate::shape::{Area, ShapeError, positive};

/// 1 cm3 in mm3: g/cm3 times mm3 is 1000 times g.
const MM3_PER_CM3: f64 = 1000.0;

/// Both faces of flat or bent sheet that weighs `mass_g`: 2 m / (rho t). The edges are left out.
///
/// `density_g_cm3` rho, `thickness_mm` t. Holds where t is small against the sheet's width; a strip of width w has
/// the share t/w more in its long edges.
///
/// # Errors
/// [`ShapeError::NotPositive`].
pub fn sheet_of_mass(mass_g: f64, density_g_cm3: f64, thickness_mm: f64) -> Result<Area, ShapeError> {
    let faces_mm2 = 2.0 * volume_mm3(mass_g, density_g_cm3)? / positive("thickness (mm)", thickness_mm)?;
    Ok(Area { faces_mm2, edges_mm2: 0.0 })
}

/// The round side of wire that weighs `mass_g`: 4 m / (rho d). The ends are left out.
///
/// `density_g_cm3` rho, `diameter_mm` d.
///
/// # Errors
/// [`ShapeError::NotPositive`].
pub fn wire_of_mass(mass_g: f64, density_g_cm3: f64, diameter_mm: f64) -> Result<Area, ShapeError> {
    let faces_mm2 = 4.0 * volume_mm3(mass_g, density_g_cm3)? / positive("diameter (mm)", diameter_mm)?;
    Ok(Area { faces_mm2, edges_mm2: 0.0 })
}

fn volume_mm3(mass_g: f64, density_g_cm3: f64) -> Result<f64, ShapeError> {
    Ok(positive("weight (g)", mass_g)? / positive("density (g/cm3)", density_g_cm3)? * MM3_PER_CM3)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::Shape;
    use std::f64::consts::PI;

    /// A sheet of 100 x 50 x 0.5 mm is 2.5 cm3; at 4.51 g/cm3 it weighs 11.275 g. Its faces are 2 x 100 x 50 mm2.
    #[test]
    fn a_weighed_sheet_is_the_measured_one_without_edges() {
        let weighed = sheet_of_mass(11.275, 4.51, 0.5).unwrap();
        assert!((weighed.total_mm2() - 10_000.0).abs() < 1e-9);
        let measured = Shape::Sheet { length_mm: 100.0, width_mm: 50.0, thickness_mm: 0.5 }.area().unwrap();
        assert!((weighed.total_mm2() - measured.faces_mm2).abs() < 1e-9);
        assert!(weighed.total_mm2() < measured.total_mm2());
    }

    /// 2 m of 1 mm wire: volume pi/4 x 2000 mm3, so the weight follows, and the side is pi x 1 x 2000 mm2.
    #[test]
    fn a_weighed_wire_is_the_measured_one_without_ends() {
        let mass_g = 8.93 * PI / 4.0 * 2.0;
        assert!((wire_of_mass(mass_g, 8.93, 1.0).unwrap().total_mm2() - 2000.0 * PI).abs() < 1e-9);
    }

    #[test]
    fn nothing_weighs_nothing() {
        assert!(sheet_of_mass(0.0, 4.51, 0.5).is_err());
        assert!(sheet_of_mass(1.0, f64::NAN, 0.5).is_err());
        assert!(wire_of_mass(1.0, 4.51, -0.5).is_err());
    }
}
