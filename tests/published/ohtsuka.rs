//! Anodic film on titanium at 546.1 nm (Ohtsuka 1985): the published constants against our tables, and the reflectance
//! that follows from them against the film formula.

use huewright::Engine;
use huewright_tests::accuracy::{Row, record};
use huewright_tests::finishes::coated;
use huewright_tests::stacks::Stack;
use huewright_tests::tables::{Record, read};
use optics::stack::Polarisation;
use optics::Cx;

const SOURCE: &str = "T. Ohtsuka, M. Masuda, N. Sato, J. Electrochem. Soc. 132, 787 (1985), abstract";
const WAVELENGTH_NM: f64 = 546.1;

/// The metal and the film as the paper gives them.
fn published(film_k: f64, thickness_nm: f64) -> f64 {
    let constants = read("published/ohtsuka-1985/constants.csv");
    let stack = Stack {
        ambient_n: 1.0,
        base: Cx::of(constants[0].number("n"), constants[0].number("k")),
        films: vec![(Cx::of(constants[1].number("n"), film_k), thickness_nm)],
    };
    stack.reflectance(WAVELENGTH_NM, 0.0, Polarisation::S)
}

#[test]
fn published_constants_against_our_default_tables() {
    let engine = Engine::new().unwrap();
    let built = engine.build(&coated(("titanium", ""), ("titania-anodic", ""), 50.0)).unwrap();
    let sample = built.sample(built.values(), &[WAVELENGTH_NM]);
    let ours = [sample.base[0], sample.films[0].layers[0].index[0]];
    // An ellipsometer under a solution sees the metal together with what lies on it; tables of bare films lie higher.
    let why = [
        "our titanium is an evaporated film in vacuum (johnson-1974), theirs a polished sheet in solution; the tables of \
         titanium differ from one another by more than this",
        "our film is dense amorphous titania laid from vapour (jolivet-2023), theirs a hydrous anodic film some nm thick",
    ];
    let mut rows = Vec::new();
    for ((r, index), why) in read("published/ohtsuka-1985/constants.csv").iter().zip(ours).zip(why) {
        for (part, value) in [("n", index.re), ("k", index.im)] {
            rows.push(Row {
                key: format!("ohtsuka-1985/{}-{part}", r.text("id")),
                what: format!("{part} of the {} at {WAVELENGTH_NM} nm, default table", r.text("medium")),
                source: SOURCE.to_owned(),
                status: "published".to_owned(),
                expected: r.text(part).to_owned(),
                ours: format!("{value:.3}"),
                miss: (value - r.number(part)).abs(),
                tolerance: r.number(&format!("tolerance_{part}")),
                unit: "index".to_owned(),
                why: Some(why.to_owned()),
            });
        }
    }
    record("ohtsuka-1985", rows);
}

#[test]
fn reflectance_that_follows_from_the_constants() {
    let mut rows: Vec<Row> = read("published/ohtsuka-1985/derived-reflectance.csv")
        .iter()
        .map(|r| {
            let ours = published(r.maybe("film_k").unwrap_or(0.0), r.number("thickness_nm"));
            let k = r.text("film_k");
            row(r, &format!("{:0>3}-k-{k}", r.text("thickness_nm")), ours, "reflectance", "tolerance", "share of light")
        })
        .collect();
    for r in read("published/ohtsuka-1985/derived-extrema.csv") {
        let (at, value) = extremum(r.number("film_k"), r.number("thickness_nm"), r.text("kind") == "max");
        let key = format!("{}-at-{:0>5}", r.text("kind"), r.text("thickness_nm"));
        rows.push(row(&r, &format!("{key}-nm"), at, "thickness_nm", "tolerance_thickness_nm", "nm"));
        rows.push(row(&r, &format!("{key}-r"), value, "reflectance", "tolerance_reflectance", "share of light"));
    }
    assert_eq!(rows.len(), 29);
    record("ohtsuka-derived", rows);
}

fn row(r: &Record, key: &str, ours: f64, column: &str, tolerance: &str, unit: &str) -> Row {
    Row {
        key: format!("ohtsuka-derived/{}-{key}", r.text("id")),
        what: format!("{column} of anodised titanium at {WAVELENGTH_NM} nm, {} nm of film", r.text("thickness_nm")),
        source: format!("single-film Fresnel formula with the constants of {SOURCE}"),
        status: "derived".to_owned(),
        expected: r.text(column).to_owned(),
        ours: format!("{ours:.5}"),
        miss: (ours - r.number(column)).abs(),
        tolerance: r.number(tolerance),
        unit: unit.to_owned(),
        why: None,
    }
}

/// The extremum within 5 nm, by steps of 0.001 nm.
fn extremum(film_k: f64, near_nm: f64, greatest: bool) -> (f64, f64) {
    let sign = if greatest { -1.0 } else { 1.0 };
    (-5_000_i32..=5_000)
        .map(|i| near_nm + 0.001 * f64::from(i))
        .map(|d| (d, published(film_k, d)))
        .min_by(|a, b| (sign * a.1).total_cmp(&(sign * b.1)))
        .unwrap()
}
