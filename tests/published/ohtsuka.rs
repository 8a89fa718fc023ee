//! Anodic film on titanium at 546.1 nm (Ohtsuka 1985): the published constants against our tables, and the reflectance
//! that follows from them against the film formula.

use huewright::Engine;
use huewright_tests::accuracy::{Row, record};
use huewright_tests::finishes::coated;
use huewright_tests::stacks::Stack;
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use optics::Cx;
use optics::stack::Polarisation;

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
    let origin = Origin {
        chapter: "ohtsuka-derived",
        source: "single-film Fresnel formula with the constants of Ohtsuka, Masuda, Sato (1985)",
        status: "derived",
    };
    let (mut bare, mut film, mut thickness, mut extreme) =
        (Worst::default(), Worst::default(), Worst::default(), Worst::default());
    for r in read("published/ohtsuka-1985/derived-reflectance.csv") {
        let ours = published(r.maybe("film_k").unwrap_or(0.0), r.number("thickness_nm"));
        let worst = if r.text("id") == "O03" { &mut bare } else { &mut film };
        worst.see(format!("{} nm", r.text("thickness_nm")), ours, r.number("reflectance"), r.number("tolerance"));
    }
    for r in read("published/ohtsuka-1985/derived-extrema.csv") {
        let near = r.number("thickness_nm");
        let (at, value) = extremum(r.number("film_k"), near, r.text("kind") == "max");
        let where_ = format!("{} of {} near {near} nm", r.text("kind"), r.text("id"));
        thickness.see(where_.clone(), at, near, r.number("tolerance_thickness_nm"));
        extreme.see(where_, value, r.number("reflectance"), r.number("tolerance_reflectance"));
    }
    assert_eq!((bare.count, film.count, thickness.count, extreme.count), (1, 14, 7, 7));
    record(
        "ohtsuka-derived",
        vec![
            bare.row(origin, "O03-bare", "reflectance of bare titanium at 546.1 nm", "share of light"),
            film.row(origin, "O04-film", "reflectance of anodised titanium at 546.1 nm, 0 to 200 nm", "share of light"),
            thickness.row(origin, "O05-O06-thickness", "thickness of the extrema at 546.1 nm", "nm"),
            extreme.row(origin, "O05-O06-reflectance", "reflectance at the extrema", "share of light"),
        ],
    );
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
