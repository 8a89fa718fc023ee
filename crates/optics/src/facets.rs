//! Texture: a surface of small mirrors that lean this way and that, and the light they lose from the mirror direction.

use crate::scalar::Real;
use std::f64::consts::{PI, TAU};

/// Half-angle of the port that catches the mirror reflection when the specular component is excluded.
/// Instruments differ; this one is assumed (common practice, no source).
pub const SPECULAR_PORT_HALF_ANGLE_DEG: f64 = 5.0;

/// The loss formula for micro-roughness is used up to this share of the shortest wavelength.
pub(crate) const ROUGHNESS_LIMIT: f64 = 0.1;

/// A facet as light at the viewer's tilt meets it: cosine of its own angle, and its weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Facet<T> {
    pub(crate) cosine: T,
    pub(crate) weight: T,
}

/// Eight rings and twelve spokes agree with 24 and 48 to 1e-4 in reflectance up to 20 degrees of lean, and to 2e-3 at
/// tilts beyond 50 degrees (tested).
const RINGS: usize = 8;
const SPOKES: u32 = 12;

/// The facets of a surface with rms slope tan(`slope`) whose slopes are normally distributed, seen at `tilt` (radians).
///
/// Slope squared over its mean is exponentially distributed, so rings are the nodes of Gauss and Laguerre; spokes are
/// equally spaced. A facet counts by the area it shows to the light, cos(own angle)/cos(lean); facets turned away do not
/// count. Single reflections only. Weights sum to 1.
pub(crate) fn facets<T: Real>(tilt: f64, slope_tangent: T) -> Vec<Facet<T>> {
    facets_by(tilt, slope_tangent, RINGS, SPOKES)
}

fn facets_by<T: Real>(tilt: f64, slope_tangent: T, rings: usize, spokes: u32) -> Vec<Facet<T>> {
    let (sin_tilt, cos_tilt) = libm::sincos(tilt);
    if slope_tangent.value() <= 0.0 {
        return vec![Facet { cosine: T::of(cos_tilt), weight: T::of(1.0) }];
    }
    let spokes = if sin_tilt > 0.0 { spokes } else { 1 };
    let mut list = Vec::new();
    let mut sum = T::of(0.0);
    for (u, ring) in gauss_laguerre(rings) {
        let tangent = slope_tangent * u.sqrt();
        let cos_lean = T::of(1.0) / (tangent * tangent + 1.0).sqrt();
        let sin_lean = tangent * cos_lean;
        // Left and right of the plane of tilt a spoke leans alike: one stands for both.
        let (spokes_told, both) = if spokes.is_multiple_of(2) { (spokes / 2, 2.0) } else { (spokes, 1.0) };
        for spoke in 0..spokes_told {
            let around = TAU * (f64::from(spoke) + 0.5) / f64::from(spokes);
            let cosine = cos_lean * cos_tilt + sin_lean * (sin_tilt * libm::cos(around));
            if cosine.value() <= 0.0 {
                continue;
            }
            let weight = cosine / cos_lean * (ring * both);
            sum += weight;
            list.push(Facet { cosine, weight });
        }
    }
    for facet in &mut list {
        facet.weight = facet.weight / sum;
    }
    list
}

/// Share of the light that stays in the mirror direction: micro-roughness takes 1 - exp(-(4 pi sigma cos / lambda)^2)
/// (H. E. Bennett, J. O. Porteus, J. Opt. Soc. Am. 51, 123, 1961), and facets that lean by more than half the port's
/// half-angle throw their light past it.
pub(crate) fn specular_share<T: Real>(roughness_nm: T, slope_tangent: T, tilt: f64, wavelength_in_medium_nm: f64) -> T {
    let phase = roughness_nm * (4.0 * PI * libm::cos(tilt) / wavelength_in_medium_nm);
    let mut share = (-(phase * phase)).exp();
    if slope_tangent.value() > 0.0 {
        let port = libm::tan((0.5 * SPECULAR_PORT_HALF_ANGLE_DEG).to_radians());
        let inside = T::of(port * port) / (slope_tangent * slope_tangent);
        share = share * (T::of(1.0) - (-inside).exp());
    }
    share
}

/// Nodes and weights for the integral of f(u) exp(-u) over u >= 0, by Newton's method on the Laguerre polynomial.
fn gauss_laguerre(count: usize) -> Vec<(f64, f64)> {
    let n = f64::from(u32::try_from(count).unwrap_or(1));
    let mut nodes: Vec<(f64, f64)> = Vec::with_capacity(count);
    for i in 0..count {
        // Starting guesses of Stroud and Secrest (1966).
        let mut x = match i {
            0 => 3.0 / (1.0 + 2.4 * n),
            1 => nodes[0].0 + 15.0 / (1.0 + 2.5 * n),
            _ => {
                let k = f64::from(u32::try_from(i).unwrap_or(1)) - 1.0;
                nodes[i - 1].0 + (1.0 + 2.55 * k) / (1.9 * k) * (nodes[i - 1].0 - nodes[i - 2].0)
            }
        };
        let mut slope = 1.0;
        let mut previous = 0.0;
        for _ in 0..60 {
            let (value, below) = laguerre(count, x);
            slope = n * (value - below) / x;
            previous = below;
            let step = value / slope;
            x -= step;
            if step.abs() < 1e-14 * x {
                break;
            }
        }
        nodes.push((x, -1.0 / (slope * n * previous)));
    }
    nodes
}

/// L_n(x) and L_(n-1)(x).
fn laguerre(count: usize, x: f64) -> (f64, f64) {
    let (mut now, mut before) = (1.0, 0.0);
    for j in 1..=u32::try_from(count).unwrap_or(1) {
        let j = f64::from(j);
        (now, before) = (((2.0 * j - 1.0 - x) * now - (j - 1.0) * before) / j, now);
    }
    (now, before)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn laguerre_nodes_integrate_powers() {
        // Integral of u^m exp(-u) is m!.
        let nodes = gauss_laguerre(RINGS);
        let mut factorial = 1.0;
        // Exact up to twice the number of nodes.
        for m in 0..2 * i32::try_from(RINGS).unwrap() {
            if m > 0 {
                factorial *= f64::from(m);
            }
            let sum: f64 = nodes.iter().map(|(u, w)| w * u.powi(m)).sum();
            assert!((sum / factorial - 1.0).abs() < 1e-10, "{m}: {sum}");
        }
    }

    #[test]
    fn few_facets_stand_for_many() {
        // A reflectance that falls and rises with angle as films on metal do.
        let bend = |f: &Facet<f64>| f.weight * (0.5 + 0.4 * (9.0 * f.cosine).cos());
        for tilt in [0.0, 0.5, 1.0] {
            for slope in [3.0_f64, 10.0, 20.0] {
                let tangent = slope.to_radians().tan();
                let few: f64 = facets(tilt, tangent).iter().map(bend).sum();
                let many: f64 = facets_by(tilt, tangent, 24, 48).iter().map(bend).sum();
                let allowed = if tilt > 0.9 { 2e-3 } else { 1e-4 };
                assert!((few - many).abs() < allowed, "{tilt} {slope}: {few} {many}");
            }
        }
    }

    #[test]
    fn facets_of_a_mirror_are_one_and_those_of_a_matte_surface_lean() {
        assert_eq!(facets(0.3, 0.0).len(), 1);
        let matte = facets(0.0, 0.3);
        let weight: f64 = matte.iter().map(|f| f.weight).sum();
        assert!((weight - 1.0).abs() < 1e-12);
        assert!(matte.iter().all(|f| f.cosine < 1.0 && f.cosine > 0.0));
    }
}
