//! Exact derivatives against differences, by every quantity that can be fitted, through the library's materials.

use huewright::Engine;
use huewright::finish::{Built, FilmValues, Values};
use huewright_tests::finishes::{base, coated, film, inline, material};
use huewright_tests::lights::grid;
use library::FinishFile;
use optics::{Dual, Geometry, Real, View};

/// What is turned: one quantity of one film, or of the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Which {
    Thickness(usize),
    Porosity(usize),
    Composition(usize),
    FilmIndex(usize, usize),
    BaseIndex(usize),
    Roughness,
    Slope,
}

use Which::{BaseIndex, Composition, FilmIndex, Porosity, Roughness, Slope, Thickness};

fn place<T: Copy>(values: &mut Values<T>, which: Which) -> &mut T {
    match which {
        Thickness(i) => &mut values.films[i].thickness_nm,
        Porosity(i) => &mut values.films[i].porosity,
        Composition(i) => &mut values.films[i].composition,
        FilmIndex(i, part) => &mut values.films[i].index_factor[part],
        BaseIndex(part) => &mut values.base_factor[part],
        Roughness => &mut values.roughness_nm,
        Slope => &mut values.slope_deg,
    }
}

fn lifted<const N: usize>(values: &Values<f64>) -> Values<Dual<N>> {
    let of = Dual::<N>::of;
    Values {
        films: values
            .films
            .iter()
            .map(|f| FilmValues {
                thickness_nm: of(f.thickness_nm),
                spread: of(f.spread),
                porosity: of(f.porosity),
                composition: of(f.composition),
                index_factor: f.index_factor.map(of),
            })
            .collect(),
        base_factor: values.base_factor.map(of),
        roughness_nm: of(values.roughness_nm),
        slope_deg: of(values.slope_deg),
    }
}

/// Value and derivative at each wavelength, exactly.
fn exact(built: &Built<'_>, which: Which, view: View) -> Vec<(f64, f64)> {
    let mut values = lifted::<1>(built.values());
    let here = place(&mut values, which);
    *here = Dual::variable(here.value, 0);
    let spectrum = built.sample(&values, &grid("380-780/50")).reflectance(view).unwrap();
    spectrum.into_iter().map(|r| (r.value, r.slope[0])).collect()
}

fn plain(built: &Built<'_>, which: Which, view: View, shift: f64) -> Vec<f64> {
    let mut values = built.values().clone();
    *place(&mut values, which) += shift;
    built.sample(&values, &grid("380-780/50")).reflectance(view).unwrap()
}

/// Derivative by differences of fourth order; its error is about h^4 of the fifth derivative and rounding over h.
fn by_differences(built: &Built<'_>, which: Which, view: View, h: f64) -> Vec<f64> {
    let [far_up, up, down, far_down] = [2.0 * h, h, -h, -2.0 * h].map(|shift| plain(built, which, view, shift));
    (0..up.len()).map(|w| (8.0 * (up[w] - down[w]) - (far_up[w] - far_down[w])) / (12.0 * h)).collect()
}

fn step(which: Which) -> f64 {
    match which {
        Thickness(_) | Roughness => 0.05,
        Porosity(_) | Composition(_) | FilmIndex(..) | BaseIndex(_) => 5e-4,
        Slope => 0.01,
    }
}

fn compare(name: &str, finish: &FinishFile, quantities: &[Which], view: View) {
    let engine = Engine::new().unwrap();
    let built = engine.build(finish).unwrap();
    for which in quantities {
        let exact = exact(&built, *which, view);
        let differences = by_differences(&built, *which, view, step(*which));
        let size = exact.iter().map(|e| e.1.abs()).fold(0.0, f64::max);
        assert!(size > 1e-7, "{name} {which:?}: the reflectance does not depend on it");
        for ((value, slope), (difference, direct)) in
            exact.iter().zip(differences.iter().zip(plain(&built, *which, view, 0.0)))
        {
            assert!((value - direct).abs() <= 1e-13, "{name} {which:?}: {value} {direct}");
            assert!((slope - difference).abs() <= 1e-7 * size, "{name} {which:?}: {slope} {difference}");
        }
    }
}

fn view(tilt_deg: f64, geometry: Geometry) -> View {
    View { tilt_deg, geometry }
}

#[test]
fn families_and_pores() {
    for tilt_deg in [0.0, 50.0] {
        let seen = view(tilt_deg, Geometry::Included);
        // A nitride of set composition, with pores, under a porous oxide.
        let mut nitride = coated(("stainless-austenitic", ""), ("tin", ""), 60.0);
        nitride.films[0].composition = Some(0.3);
        nitride.films[0].porosity = 0.1;
        nitride.films.push(film(material("titania-anodic", ""), 45.0));
        nitride.films[1].porosity = 0.15;
        let all = [
            Thickness(0),
            Thickness(1),
            Porosity(0),
            Porosity(1),
            Composition(0),
            FilmIndex(0, 0),
            FilmIndex(0, 1),
            FilmIndex(1, 0),
            BaseIndex(0),
            BaseIndex(1),
        ];
        compare("tin under titania", &nitride, &all, seen);

        let mut dark = coated(("tin", ""), ("tialn", ""), 35.0);
        dark.films[0].composition = Some(0.35);
        compare("tialn", &dark, &[Thickness(0), Composition(0)], seen);

        let mut mixed = coated(("tin", ""), ("titanium-oxynitride", ""), 50.0);
        mixed.films[0].composition = Some(0.6);
        compare("titanium-oxynitride", &mixed, &[Thickness(0), Composition(0)], seen);

        // Two layers that share the thickness.
        let mut temper = coated(("carbon-steel", ""), ("temper-oxide", ""), 40.0);
        temper.films[0].composition = Some(0.4);
        temper.films[0].porosity = 0.05;
        compare("temper-oxide", &temper, &[Thickness(0), Composition(0), Porosity(0)], seen);
    }
}

#[test]
fn surfaces() {
    let mut rough = coated(("titanium", ""), ("titania-anodic", ""), 50.0);
    rough.base.texture.roughness_nm = 15.0;
    for geometry in [Geometry::Specular, Geometry::Excluded] {
        compare("rough", &rough, &[Roughness, Thickness(0)], view(30.0, geometry));
    }
    let mut matte = coated(("titanium", ""), ("titania-anodic", ""), 50.0);
    matte.base.texture.slope_deg = 8.0;
    for tilt_deg in [0.0, 40.0] {
        compare("matte", &matte, &[Slope, Thickness(0)], view(tilt_deg, Geometry::Included));
        compare("matte, specular", &matte, &[Slope, Thickness(0)], view(tilt_deg, Geometry::Specular));
    }
}

#[test]
fn under_coats_and_water() {
    let mut coated_over = coated(("titanium", ""), ("titania-anodic", ""), 50.0);
    coated_over.over.push(library::CoatSpec { material: material("lacquer", ""), thickness_um: 20.0 });
    coated_over.over.push(library::CoatSpec { material: material("skin-oil", ""), thickness_um: 0.4 });
    coated_over.medium = library::MediumAbove::Water;
    for tilt_deg in [0.0, 50.0] {
        compare("coats in water", &coated_over, &[Thickness(0)], view(tilt_deg, Geometry::Included));
    }
}

/// A film without pores can grow some: the derivative by porosity at none is that of the mixture.
#[test]
fn porosity_at_none() {
    let engine = Engine::new().unwrap();
    let finish = inline((2.5, 3.4), &[(2.4, 0.0, 60.0)]);
    let built = engine.build(&finish).unwrap();
    let seen = view(0.0, Geometry::Included);
    let exact = exact(&built, Porosity(0), seen);
    let here = plain(&built, Porosity(0), seen, 0.0);
    // A one-sided difference of second order: porosity cannot fall below none.
    let h = 1e-4;
    let [near, far] = [h, 2.0 * h].map(|shift| plain(&built, Porosity(0), seen, shift));
    for w in 0..here.len() {
        let difference = (4.0 * near[w] - far[w] - 3.0 * here[w]) / (2.0 * h);
        assert!(
            (exact[w].1 - difference).abs() <= 1e-5,
            "by porosity at 0: {} exactly, {difference} by differences",
            exact[w].1
        );
    }
}

/// Several quantities at once give the same as one at a time.
#[test]
fn several_at_once() {
    let engine = Engine::new().unwrap();
    let mut finish = base("stainless-austenitic", "");
    finish.films.push(film(material("tin", ""), 80.0));
    finish.films[0].composition = Some(0.5);
    finish.films.push(film(material("silica", ""), 90.0));
    let built = engine.build(&finish).unwrap();
    let seen = view(35.0, Geometry::Included);
    let quantities = [Thickness(0), Composition(0), Thickness(1)];
    let mut values = lifted::<3>(built.values());
    for (number, which) in quantities.iter().enumerate() {
        let here = place(&mut values, *which);
        *here = Dual::variable(here.value, number);
    }
    let together = built.sample(&values, &grid("380-780/50")).reflectance(seen).unwrap();
    for (number, which) in quantities.iter().enumerate() {
        let alone = exact(&built, *which, seen);
        for (a, b) in together.iter().zip(alone) {
            assert!((a.slope[number] - b.1).abs() <= 1e-14, "{which:?}");
        }
    }
}
