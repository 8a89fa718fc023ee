//! Thick clear coats: their bounces add as intensities, without interference.

use crate::complex::Cx;
use crate::scalar::Real;
use crate::stack::{Medium, Polarisation, Slab, energy, reflectance};
use std::f64::consts::TAU;

/// A coat thicker than this shows no fringes to the eye: natural thickness variation and the breadth of the eye's
/// response wash them out, so it is summed without interference (product.md).
pub const INTERFERENCE_LIMIT_UM: f64 = 10.0;

/// A clear coat over the films.
#[derive(Debug, Clone, PartialEq)]
pub struct Coat {
    /// Index at each wavelength of the sample; k small (a coat is clear).
    pub index: Vec<Cx<f64>>,
    /// Thickness, micrometres.
    pub thickness_um: f64,
}

impl Coat {
    /// Whether the coat is summed without interference.
    pub fn is_thick(&self) -> bool {
        self.thickness_um > INTERFERENCE_LIMIT_UM
    }
}

/// One thick coat at one wavelength, with the thin coats that lie on it (they interfere), from the inside outward.
pub(crate) struct Cover {
    pub(crate) coat: Cx<f64>,
    pub(crate) thickness_nm: f64,
    pub(crate) thin_above: Vec<(Cx<f64>, f64)>,
}

/// Reflectance of `below` (seen from inside the innermost cover) under `covers`, seen from `ambient_n`.
///
/// Each cover adds R = Rf + Tf Tb a R' / (1 - Rb a R'), a = the double-pass transmission of the coat.
pub(crate) fn cover<T: Real>(
    below: T,
    covers: &[Cover],
    ambient_n: f64,
    s2: f64,
    wavelength_nm: f64,
    polarisation: Polarisation,
) -> T {
    let mut inside = below;
    for (number, layer) in covers.iter().enumerate() {
        let coat = Medium::new(Cx::new(layer.coat.re, 0.0), s2);
        let outer_n = covers.get(number + 1).map_or(ambient_n, |next| next.coat.re);
        let outer = Medium::new(Cx::new(outer_n, 0.0), s2);
        let slabs: Vec<Slab<f64>> = layer
            .thin_above
            .iter()
            .map(|(index, nm)| Slab { medium: Medium::new(*index, s2), thickness_nm: *nm })
            .collect();
        let reversed: Vec<Slab<f64>> = slabs.iter().rev().copied().collect();
        let front = energy(wavelength_nm, &outer, &slabs, &coat, polarisation);
        let back = reflectance(wavelength_nm, &coat, &reversed, &outer, polarisation);
        // Between clear media transmission is the same both ways (reciprocity).
        let through = front.transmitted * front.transmitted;
        let loss = Medium::new(layer.coat, s2).axial.im;
        let double_pass = libm::exp(-4.0 * TAU * loss * layer.thickness_nm / wavelength_nm);
        inside = inside * (through * double_pass) / (T::of(1.0) - inside * (back * double_pass)) + front.reflected;
    }
    inside
}
