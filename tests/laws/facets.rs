//! The matte average against a dense one over facet leans, and its limit, the mirror.

use huewright_tests::accuracy::record;
use huewright_tests::stacks::Stack;
use huewright_tests::worst::{Origin, Worst};
use optics::stack::POLARISATIONS;
use optics::{Cx, Geometry, Texture, View};
use std::f64::consts::TAU;

const WAVELENGTHS_NM: [f64; 3] = [420.0, 550.0, 680.0];
/// What the engine states of its few facets: 1e-4 in reflectance up to 20 degrees of lean; at steep tilt 2e-3, where its
/// own test allows that (optics, facets).
const TOLERANCE: f64 = 1e-4;
const STEEP_TOLERANCE: f64 = 2e-3;
const STEEP_DEG: f64 = 50.0;

fn anodised() -> Stack {
    Stack { films: vec![(Cx::of(2.4, 0.0), 120.0)], ..Stack::bare(Cx::of(2.5, 3.4)) }
}

fn ours(slope_deg: f64, tilt_deg: f64) -> Vec<f64> {
    let mut sample = anodised().sample(&WAVELENGTHS_NM);
    sample.texture = Texture { roughness_nm: 0.0, slope_deg };
    sample.reflectance(View { tilt_deg, geometry: Geometry::Included }).unwrap()
}

/// Facets whose slopes are normally distributed, with rms slope tan(`slope_deg`), each counted by the area it shows to
/// the light; equal steps in the slope and around.
fn dense(wavelength_nm: f64, slope_deg: f64, tilt_deg: f64) -> f64 {
    let rms = slope_deg.to_radians().tan();
    let (sin_tilt, cos_tilt) = tilt_deg.to_radians().sin_cos();
    let stack = anodised();
    let (rings, spokes) = (240, 96);
    let (mut sum, mut weights) = (0.0, 0.0);
    for ring in 0..rings {
        // t = slope over its rms; density 2 t exp(-t^2), cut at t = 5.
        let t = 5.0 * (f64::from(ring) + 0.5) / f64::from(rings);
        let cos_lean = 1.0 / (1.0 + (rms * t).powi(2)).sqrt();
        let sin_lean = rms * t * cos_lean;
        for spoke in 0..spokes {
            let around = TAU * f64::from(spoke) / f64::from(spokes);
            let cosine = cos_lean * cos_tilt + sin_lean * sin_tilt * around.cos();
            if cosine <= 0.0 {
                continue;
            }
            let weight = t * (-t * t).exp() * cosine / cos_lean;
            let angle_deg = cosine.min(1.0).acos().to_degrees();
            let both = POLARISATIONS.map(|p| stack.reflectance(wavelength_nm, angle_deg, p));
            sum += weight * 0.5 * (both[0] + both[1]);
            weights += weight;
        }
    }
    sum / weights
}

#[test]
fn the_matte_average_against_a_dense_one() {
    let (mut gentle, mut steep) = (Worst::default(), Worst::default());
    for slope_deg in [2.0, 5.0, 18.0] {
        for tilt_deg in [0.0, 15.0, 30.0, 45.0, 60.0, 75.0] {
            for (w, ours) in WAVELENGTHS_NM.iter().zip(ours(slope_deg, tilt_deg)) {
                let at = format!("slope {slope_deg}, tilt {tilt_deg}, {w} nm");
                let expected = dense(*w, slope_deg, tilt_deg);
                if tilt_deg < STEEP_DEG {
                    gentle.see(at, ours, expected, TOLERANCE);
                } else {
                    steep.see(at, ours, expected, STEEP_TOLERANCE);
                }
            }
        }
    }
    let origin = Origin { chapter: "facets", source: "dense average over facet leans", status: "second method" };
    record(
        "facets",
        vec![
            gentle.row(
                origin,
                "1-gentle",
                "reflectance of a satin or blasted film, tilts to 45 degrees",
                "share of light",
            ),
            steep.row(origin, "2-steep", "reflectance of a satin or blasted film, 60 and 75 degrees", "share of light"),
        ],
    );
}

/// As the facets lean less the average goes to the mirror, with the square of their slope.
#[test]
fn a_surface_that_hardly_leans_is_a_mirror() {
    for tilt_deg in [0.0, 40.0] {
        let (mirror, tiny) = (ours(0.0, tilt_deg), ours(0.001, tilt_deg));
        let (one, half) = (ours(1.0, tilt_deg), ours(0.5, tilt_deg));
        for w in 0..mirror.len() {
            assert!((tiny[w] - mirror[w]).abs() < 1e-8, "{} {}", tiny[w], mirror[w]);
            let ratio = (one[w] - mirror[w]) / (half[w] - mirror[w]);
            assert!((ratio - 4.0).abs() < 0.1, "{ratio}");
        }
    }
}
