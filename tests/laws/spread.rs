//! Spread of thickness against a dense average that shares nothing with the engine's nodes: value and derivative.

use huewright_tests::accuracy::record;
use huewright_tests::stacks::Stack;
use huewright_tests::worst::{Origin, Worst};
use optics::stack::Polarisation;
use optics::{Cx, Dual, Film, Geometry, Layer, Real, Sample, Texture, View};

const ORIGIN: Origin<'_> =
    Origin { chapter: "spread", source: "dense average over the normal distribution", status: "second method" };
const STRAIGHT: View = View { tilt_deg: 0.0, geometry: Geometry::Included };
const WAVELENGTHS_NM: [f64; 4] = [380.0, 470.0, 550.0, 700.0];
/// What the engine's nodes cost, as it states: each film's distribution is cut at four standard deviations, beyond which
/// 6e-5 of it lie, and the step of the nodes costs 1e-5.
const CUT: f64 = 6.3e-5;
const STEP: f64 = 1e-5;
/// With several films whose product of nodes is too large, 8192 even points stand for it: below 1e-3, as optics states since it was measured here.
const EVEN_POINTS_TOLERANCE: f64 = 1e-3;

const BASE: (f64, f64) = (2.5, 3.4);

fn sample<T: Real>(films: &[(f64, f64, T, T)]) -> Sample<T> {
    let count = WAVELENGTHS_NM.len();
    Sample {
        wavelength_nm: WAVELENGTHS_NM.to_vec(),
        ambient_n: vec![1.0; count],
        base: vec![Cx::of(BASE.0, BASE.1); count],
        films: films
            .iter()
            .map(|(n, k, thickness_nm, spread)| Film {
                layers: vec![Layer { share: T::of(1.0), index: vec![Cx::of(*n, *k); count] }],
                thickness_nm: *thickness_nm,
                spread: *spread,
            })
            .collect(),
        over: Vec::new(),
        texture: Texture::mirror(),
    }
}

/// Standard normal weights at `count` equal steps over eight standard deviations to either side.
fn normal(count: i32) -> Vec<(f64, f64)> {
    let points: Vec<(f64, f64)> =
        (0..=count).map(|i| 16.0 * f64::from(i) / f64::from(count) - 8.0).map(|z| (z, (-0.5 * z * z).exp())).collect();
    let total: f64 = points.iter().map(|p| p.1).sum();
    points.into_iter().map(|(z, w)| (z, w / total)).collect()
}

/// The average at one wavelength over the films' thicknesses, which vary independently.
fn dense(wavelength_nm: f64, films: &[(f64, f64, f64, f64)], count: i32) -> f64 {
    let weights = normal(count);
    let mut points: Vec<(Vec<f64>, f64)> = vec![(Vec::new(), 1.0)];
    for (_, _, thickness_nm, spread) in films {
        let own: Vec<(f64, f64)> = if *spread > 0.0 {
            weights.iter().map(|(z, w)| ((thickness_nm * (1.0 + spread * z)).max(0.0), *w)).collect()
        } else {
            vec![(*thickness_nm, 1.0)]
        };
        points = points
            .iter()
            .flat_map(|(before, weight)| {
                own.iter().map(move |(d, w)| ([before.as_slice(), &[*d]].concat(), weight * w))
            })
            .collect();
    }
    points
        .iter()
        .map(|(thicknesses, weight)| {
            let films = films.iter().zip(thicknesses).map(|((n, k, ..), d)| (Cx::of(*n, *k), *d)).collect();
            let stack = Stack { films, ..Stack::bare(Cx::of(BASE.0, BASE.1)) };
            weight * stack.reflectance(wavelength_nm, 0.0, Polarisation::S)
        })
        .sum()
}

#[test]
fn one_and_two_films() {
    let (mut one, mut two, mut many) = (Worst::default(), Worst::default(), Worst::default());
    for spread in [0.01, 0.05, 0.2] {
        for thickness_nm in [30.0, 150.0, 900.0] {
            let films = [(2.4, 0.0, thickness_nm, spread)];
            let ours = sample(&films).reflectance(STRAIGHT).unwrap();
            for (w, ours) in WAVELENGTHS_NM.iter().zip(ours) {
                one.see(format!("{thickness_nm} nm +- {spread} at {w} nm"), ours, dense(*w, &films, 4_000), CUT + STEP);
            }
        }
    }
    let films = [(1.7, 0.3, 60.0, 0.05), (2.3, 0.0, 120.0, 0.04)];
    let ours = sample(&films).reflectance(STRAIGHT).unwrap();
    for (w, ours) in WAVELENGTHS_NM.iter().zip(ours) {
        two.see(format!("two films at {w} nm"), ours, dense(*w, &films, 200), 2.0 * (CUT + STEP));
    }
    // So many nodes that even points take their place.
    let films = [(1.5, 0.0, 500.0, 0.15), (2.3, 0.0, 600.0, 0.1), (1.46, 0.0, 500.0, 0.1)];
    let ours = sample(&films).reflectance(STRAIGHT).unwrap();
    for (w, ours) in WAVELENGTHS_NM.iter().zip(ours) {
        many.see(format!("three films at {w} nm"), ours, dense(*w, &films, 64), EVEN_POINTS_TOLERANCE);
    }
    record(
        "spread",
        vec![
            one.row(ORIGIN, "1-one-film", "reflectance of a film with a spread of 0.01 to 0.2", "share of light"),
            two.row(ORIGIN, "2-two-films", "reflectance of two films with spread", "share of light"),
            many.row(
                ORIGIN,
                "3-even-points",
                "reflectance of three films with spread, by even points",
                "share of light",
            ),
        ],
    );
}

/// Derivatives by thickness and by spread against differences of the dense average.
#[test]
fn derivatives() {
    let (thickness_nm, spread) = (150.0, 0.06);
    let films = [(2.4, 0.0, Dual::<2>::variable(thickness_nm, 0), Dual::<2>::variable(spread, 1))];
    let ours = sample(&films).reflectance(STRAIGHT).unwrap();
    let at = |w: f64, d: f64, s: f64| dense(w, &[(2.4, 0.0, d, s)], 4_000);
    for (w, ours) in WAVELENGTHS_NM.iter().zip(ours) {
        let by_thickness = (at(*w, thickness_nm + 0.01, spread) - at(*w, thickness_nm - 0.01, spread)) / 0.02;
        let by_spread = (at(*w, thickness_nm, spread + 1e-4) - at(*w, thickness_nm, spread - 1e-4)) / 2e-4;
        // What is cut: 6e-5 of a derivative of some 0.02 a nm; by spread, whose tail counts with its distance from the
        // mean, 3e-4 of some 150 nm times 0.02 a nm.
        assert!((ours.slope[0] - by_thickness).abs() <= 5e-6, "by thickness: {} {by_thickness}", ours.slope[0]);
        assert!((ours.slope[1] - by_spread).abs() <= 1e-3, "by spread: {} {by_spread}", ours.slope[1]);
    }
}

/// A spread that goes to none leaves the film alone; a small one adds half its variance times the curvature.
#[test]
fn no_spread_is_the_plain_film() {
    let thickness_nm = 120.0;
    let at = |d: f64, spread: f64| sample(&[(2.4, 0.0, d, spread)]).reflectance(STRAIGHT).unwrap();
    let (plain, small) = (at(thickness_nm, 0.0), at(thickness_nm, 0.002));
    let (up, down) = (at(thickness_nm + 0.1, 0.0), at(thickness_nm - 0.1, 0.0));
    for w in 0..plain.len() {
        let curvature = (up[w] + down[w] - 2.0 * plain[w]) / 0.01;
        let expected = 0.5 * (0.002 * thickness_nm).powi(2) * curvature;
        // The next term is smaller by the square of the phase, 0.02, times the spread of it.
        assert!((small[w] - plain[w] - expected).abs() <= 2e-7, "{} {expected}", small[w] - plain[w]);
        assert!((at(thickness_nm, 1e-6)[w] - plain[w]).abs() < 1e-9);
    }
}
