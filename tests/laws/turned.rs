//! A film turned through its thicknesses against the whole path, for textured and uneven finishes; and an uneven film by
//! equal steps of phase against a dense average of even ones.

use huewright_tests::chance::Chance;
use optics::{Coat, Cx, Film, Geometry, Layer, Sample, Texture, Turned, View};

/// What rounding leaves of sums over hundreds of terms.
const ROUNDING: f64 = 1e-11;

fn index(chance: &mut Chance, count: usize, k: f64) -> Vec<Cx<f64>> {
    let (n, k) = (chance.between(1.3, 2.8), chance.between(0.0, k));
    vec![Cx::of(n, k); count]
}

fn sample(chance: &mut Chance, films: usize, texture: Texture<f64>) -> Sample<f64> {
    let wavelength_nm: Vec<f64> = (380_u32..=780).step_by(40).map(f64::from).collect();
    let count = wavelength_nm.len();
    let film = |chance: &mut Chance| Film {
        layers: vec![Layer { share: 1.0, index: index(chance, count, 0.2) }],
        thickness_nm: chance.between(5.0, 300.0),
        spread: 0.0,
    };
    Sample {
        ambient_n: vec![1.0; count],
        base: vec![Cx::of(2.5, 3.2); count],
        films: (0..films).map(|_| film(chance)).collect(),
        over: Vec::new(),
        texture,
        wavelength_nm,
    }
}

fn worst(one: &[f64], two: &[f64]) -> f64 {
    // A NaN must not hide behind max.
    one.iter().zip(two).map(|(a, b)| (a - b).abs()).fold(0.0, |m, d| if d.is_nan() { f64::INFINITY } else { d.max(m) })
}

#[test]
fn turning_agrees_with_the_whole_path() {
    let mut chance = Chance::new(4);
    for round in 0..60_u32 {
        let slope_deg = if round % 3 == 0 { 0.0 } else { chance.between(1.0, 20.0) };
        let mut sample = sample(&mut chance, 1 + round as usize % 3, Texture { roughness_nm: 10.0, slope_deg });
        if round % 4 == 0 {
            sample.over.push(Coat { index: vec![Cx::of(1.5, 0.0); sample.wavelength_nm.len()], thickness_um: 20.0 });
        }
        let which = round as usize % sample.films.len();
        for geometry in [Geometry::Included, Geometry::Excluded, Geometry::Specular] {
            let view = View { tilt_deg: f64::from(round % 5) * 17.0, geometry };
            let turned = Turned::new(&sample, view, which).unwrap().unwrap();
            for nm in [0.0, 31.0, 250.0] {
                let mut set = sample.clone();
                set.films[which].thickness_nm = nm;
                let off = worst(&turned.reflectance(nm), &set.reflectance(view).unwrap());
                assert!(off <= ROUNDING, "{off:e} in round {round} at {nm} nm, {geometry:?}");
            }
        }
    }
}

/// The dense average takes even films alone, so it never touches the steps of phase.
#[test]
fn an_uneven_film_is_the_mean_of_even_ones() {
    let mut chance = Chance::new(5);
    for round in 0..20_u32 {
        let texture = Texture { roughness_nm: 0.0, slope_deg: if round % 2 == 0 { 0.0 } else { 8.0 } };
        let mut uneven = sample(&mut chance, 2, texture);
        let which = round as usize % 2;
        let spread = chance.between(0.01, 0.12);
        let view = View { tilt_deg: f64::from(round % 4) * 20.0, geometry: Geometry::Included };
        let mut sum = vec![0.0; uneven.wavelength_nm.len()];
        let mut weights = 0.0;
        let steps = 400;
        for step in 0..=2 * steps {
            let deviation = 6.0 * (f64::from(step) / f64::from(steps) - 1.0);
            let weight = (-0.5 * deviation * deviation).exp();
            let mut even = uneven.clone();
            even.films[which].thickness_nm *= 1.0 + spread * deviation;
            for (s, r) in sum.iter_mut().zip(even.reflectance(view).unwrap()) {
                *s += weight * r;
            }
            weights += weight;
        }
        let dense: Vec<f64> = sum.iter().map(|s| s / weights).collect();
        uneven.films[which].spread = spread;
        let off = worst(&uneven.reflectance(view).unwrap(), &dense);
        // The nodes are cut at four deviations: 6e-5 of the normal distribution lies beyond, times a reflectance below 1.
        assert!(off <= 1.5e-4, "{off:e} in round {round}");
    }
}
