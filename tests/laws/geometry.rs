//! What is measured: included is specular and excluded together; what the formulas refuse.

use huewright_tests::stacks::Stack;
use optics::{Cx, Geometry, OpticsError, SPECULAR_PORT_HALF_ANGLE_DEG, Sample, Texture, View};
use std::f64::consts::PI;

const WAVELENGTHS_NM: [f64; 3] = [380.0, 550.0, 780.0];

fn sample(roughness_nm: f64, slope_deg: f64) -> Sample<f64> {
    let stack = Stack { films: vec![(Cx::of(2.4, 0.0), 50.0)], ..Stack::bare(Cx::of(2.5, 3.4)) };
    let mut sample = stack.sample(&WAVELENGTHS_NM);
    sample.texture = Texture { roughness_nm, slope_deg };
    sample
}

fn seen(sample: &Sample<f64>, tilt_deg: f64, geometry: Geometry) -> Vec<f64> {
    sample.reflectance(View { tilt_deg, geometry }).unwrap()
}

#[test]
fn included_is_specular_and_excluded_together() {
    for (roughness_nm, slope_deg) in [(0.0, 0.0), (10.0, 0.0), (38.0, 0.0), (0.0, 6.0), (20.0, 18.0)] {
        let sample = sample(roughness_nm, slope_deg);
        for tilt_deg in [0.0, 30.0, 85.0] {
            let [all, mirror, rest] = [Geometry::Included, Geometry::Specular, Geometry::Excluded]
                .map(|geometry| seen(&sample, tilt_deg, geometry));
            for w in 0..all.len() {
                assert!((all[w] - mirror[w] - rest[w]).abs() <= 1e-15);
                assert!(mirror[w] >= 0.0 && rest[w] >= 0.0);
            }
        }
    }
}

#[test]
fn a_perfect_mirror_sends_nothing_aside() {
    for tilt_deg in [0.0, 45.0, 80.0] {
        let mirror = sample(0.0, 0.0);
        assert!(seen(&mirror, tilt_deg, Geometry::Excluded).iter().all(|r| *r == 0.0));
        assert_eq!(seen(&mirror, tilt_deg, Geometry::Specular), seen(&mirror, tilt_deg, Geometry::Included));
    }
}

/// Roughness takes 1 - exp(-(4 pi sigma cos / wavelength)^2) out of the mirror direction (Bennett and Porteus 1961),
/// and none of the light as a whole.
#[test]
fn roughness_takes_light_out_of_the_mirror_direction() {
    for tilt_deg in [0.0_f64, 40.0] {
        let (smooth, rough) = (sample(0.0, 0.0), sample(12.0, 0.0));
        assert_eq!(seen(&smooth, tilt_deg, Geometry::Included), seen(&rough, tilt_deg, Geometry::Included));
        let (all, mirror) = (seen(&rough, tilt_deg, Geometry::Included), seen(&rough, tilt_deg, Geometry::Specular));
        for (w, nm) in WAVELENGTHS_NM.iter().enumerate() {
            let phase = 4.0 * PI * 12.0 * tilt_deg.to_radians().cos() / nm;
            assert!((mirror[w] / all[w] - (-phase * phase).exp()).abs() <= 1e-14);
        }
    }
}

/// Under water the wave is shorter, and the same roughness takes more.
#[test]
fn roughness_counts_in_waves_of_the_medium() {
    let mut wet = sample(12.0, 0.0);
    wet.ambient_n = vec![1.333; WAVELENGTHS_NM.len()];
    let (all, mirror) = (seen(&wet, 0.0, Geometry::Included), seen(&wet, 0.0, Geometry::Specular));
    for (w, nm) in WAVELENGTHS_NM.iter().enumerate() {
        let phase = 4.0 * PI * 12.0 * 1.333 / nm;
        assert!((mirror[w] / all[w] - (-phase * phase).exp()).abs() <= 1e-14);
    }
}

/// Of a matte surface the port keeps the facets that lean by less than half its half-angle: a Rayleigh distribution.
#[test]
fn facets_that_lean_miss_the_port() {
    let matte = sample(0.0, 4.0);
    // Those facets lie all but level, and send back what a mirror does.
    let (all, mirror) = (seen(&sample(0.0, 0.0), 0.0, Geometry::Included), seen(&matte, 0.0, Geometry::Specular));
    let port = (0.5 * SPECULAR_PORT_HALF_ANGLE_DEG).to_radians().tan() / 4.0_f64.to_radians().tan();
    for w in 0..all.len() {
        assert!((mirror[w] / all[w] - (1.0 - (-port * port).exp())).abs() <= 1e-14);
    }
}

#[test]
fn what_the_formulas_do_not_hold_for_is_refused() {
    let straight = View { tilt_deg: 0.0, geometry: Geometry::Included };
    // A tenth of the shortest wavelength, 380 nm.
    assert!(sample(38.0, 0.0).reflectance(straight).is_ok());
    // With all light measured the loss plays no part.
    assert!(sample(38.01, 0.0).reflectance(straight).is_ok());
    let mirror = View { geometry: Geometry::Specular, ..straight };
    assert!(sample(38.0, 0.0).reflectance(mirror).is_ok());
    let refused = sample(38.01, 0.0).reflectance(mirror);
    assert!(matches!(refused, Err(OpticsError::RoughnessBeyondFormula { .. })), "{refused:?}");
    for tilt_deg in [-0.1, 85.01, f64::NAN, f64::INFINITY] {
        let refused = sample(0.0, 0.0).reflectance(View { tilt_deg, geometry: Geometry::Included });
        assert!(matches!(refused, Err(OpticsError::TiltOutOfRange { .. })), "{tilt_deg}: {refused:?}");
    }
    assert!(sample(0.0, 0.0).reflectance(View { tilt_deg: 85.0, geometry: Geometry::Included }).is_ok());
}
