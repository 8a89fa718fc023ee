//! The directions from which a textured surface meets the light, and how they add up to what is measured.

use crate::error::OpticsError;
use crate::facets::{Facet, facets, specular_share};
use crate::sample::{Geometry, Sample, View};
use crate::scalar::Real;

/// Facets with their weights; beside them the tilt itself, where the mirror reflection is measured apart.
pub(crate) struct Directions<T> {
    facets: Vec<Facet<T>>,
    geometry: Geometry,
    tilt: f64,
    slope_tangent: T,
}

impl<T: Real> Directions<T> {
    /// The directions of `sample` in `view`.
    ///
    /// # Errors
    /// [`OpticsError`] when the tilt or the roughness is outside what the formulas hold for.
    pub(crate) fn of(sample: &Sample<T>, view: View) -> Result<Self, OpticsError> {
        sample.check(view)?;
        let tilt = view.tilt_deg.to_radians();
        let slope_tangent = tan_degrees(sample.texture.slope_deg);
        let facets = if view.geometry == Geometry::Specular { Vec::new() } else { facets(tilt, slope_tangent) };
        Ok(Self { facets, geometry: view.geometry, tilt, slope_tangent })
    }

    /// How many directions there are.
    pub(crate) fn count(&self) -> usize {
        self.facets.len() + usize::from(self.geometry != Geometry::Included)
    }

    /// (n0 sin angle)^2 of direction number `number` in a medium of index `n0`.
    pub(crate) fn s2(&self, number: usize, n0: f64) -> T {
        // What stays in the mirror direction comes from facets that lie level: they meet the light at the tilt.
        let cosine = self.facets.get(number).map_or_else(|| T::of(libm::cos(self.tilt)), |f| f.cosine);
        (T::of(1.0) - cosine * cosine) * (n0 * n0)
    }

    /// What is measured at wavelength number `w`: `reflectance(direction, s2)` added up by weight.
    pub(crate) fn sum(&self, sample: &Sample<T>, w: usize, reflectance: impl Fn(usize, T) -> T) -> T {
        let n0 = sample.ambient_n[w];
        let mut total = T::of(0.0);
        for (number, facet) in self.facets.iter().enumerate() {
            total += reflectance(number, self.s2(number, n0)) * facet.weight;
        }
        let mirror = || {
            let number = self.facets.len();
            let in_medium = sample.wavelength_nm[w] / n0;
            let share = specular_share(sample.texture.roughness_nm, self.slope_tangent, self.tilt, in_medium);
            reflectance(number, self.s2(number, n0)) * share
        };
        match self.geometry {
            Geometry::Included => total,
            Geometry::Specular => mirror(),
            Geometry::Excluded => {
                let rest = total - mirror();
                if rest.value() < 0.0 { T::of(0.0) } else { rest }
            }
        }
    }
}

fn tan_degrees<T: Real>(degrees: T) -> T {
    let (sin, cos) = (degrees * (std::f64::consts::PI / 180.0)).sin_cos();
    sin / cos
}
