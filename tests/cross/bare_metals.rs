//! Bare, thick materials: reflectance and colour that published tables of n and k imply.

use crate::tables_held::held;
use colour::SRGB;
use huewright::look::look;
use huewright::{Conditions, Engine, Light};
use huewright_tests::accuracy::record;
use huewright_tests::finishes::base;
use huewright_tests::lights::{grid, viewing};
use huewright_tests::tables::{Record, read};
use huewright_tests::worst::{Origin, Worst};
use optics::{Geometry, View};
use std::collections::BTreeSet;

const STRAIGHT: View = View { tilt_deg: 0.0, geometry: Geometry::Included };
/// Lab through `look`, on the 5 nm grid whatever the row's: 0.05 of rounding and as much of the grid.
const THROUGH_LOOK: f64 = 0.1;

fn origin(chapter: &str) -> Origin<'_> {
    Origin { chapter, source: "published tables of n and k, worked out outside this program", status: "derived" }
}

/// Material and source.
type Held = (String, String);

fn spectrum(engine: &Engine, source: &Held, wavelength_nm: &[f64]) -> Vec<f64> {
    let built = engine.build(&base(&source.0, &source.1)).unwrap();
    built.sample(built.values(), wavelength_nm).reflectance(STRAIGHT).unwrap()
}

/// Rows whose table this project carries, and the names of the other materials.
fn carried(file: &str) -> (Vec<(Record, Held)>, Vec<String>) {
    let mut left_out = BTreeSet::new();
    let mut rows = Vec::new();
    for r in read(file) {
        match held(r.text("base_table")) {
            Some(source) => rows.push((r, source)),
            None => {
                left_out.insert(r.text("material").to_owned());
            }
        }
    }
    (rows, left_out.into_iter().collect())
}

#[test]
fn lab_on_the_grid_of_the_row_and_through_look() {
    let engine = Engine::new().unwrap();
    let (rows, left_out) = carried("cross/bare-metals/lab.csv");
    // Rows that cannot be computed here, because no file of ours holds their table. None is dropped in silence.
    assert_eq!(
        left_out,
        [
            "Ag Hagemann 1974",
            "Al Mathewson 1971",
            "Au Hagemann",
            "Au Olmon 2012 evaporated",
            "Au evaporated, Olmon 2012",
            "Au80Ag20, Rioux 2014",
            "Brass Cu85Zn15",
            "Cu Hagemann",
            "Pt Rakic BB",
            "Si Green 2008",
            "VC",
            "VN"
        ]
    );
    let (mut own_grid, mut through_look, mut hex) = (Worst::default(), Worst::default(), Worst::default());
    for (r, source) in &rows {
        let expected = r.numbers(["l", "a", "b"]);
        let at = format!("{} {} {}", r.text("id"), r.text("light"), r.text("observer"));
        let viewing = viewing(&engine, r.text("light"), r.text("observer"), r.text("grid_nm"));
        let lab = viewing.lab(&spectrum(&engine, source, &grid(r.text("grid_nm"))));
        let conditions = Conditions {
            light: Light::Named(r.text("light").to_owned()),
            observer: r.text("observer").to_owned(),
            ..Conditions::default()
        };
        let seen = look(&engine, &base(&source.0, &source.1), &conditions).unwrap();
        for i in 0..3 {
            own_grid.see(at.clone(), [lab.l, lab.a, lab.b][i], expected[i], r.number("tolerance"));
            through_look.see(at.clone(), seen.lab[i], expected[i], THROUGH_LOOK);
        }
        if !r.text("hex").is_empty() {
            let shown = SRGB.show(lab);
            assert!(!shown.out_of_gamut, "{at}: metals lie inside sRGB");
            hex.see(at, byte_distance(&shown.hex(), r.text("hex")), 0.0, 0.0);
        }
    }
    assert_eq!((rows.len(), hex.count), (59, 3));
    let origin = origin("bare-metals");
    record(
        "bare-metals",
        vec![
            own_grid.row(origin, "1-lab-own-grid", "Lab of bare materials on the grid of each row", "Lab units"),
            through_look.row(origin, "2-lab-look", "Lab of bare materials through look, 5 nm grid", "Lab units"),
            hex.row(origin, "3-hex", "sRGB bytes of bare materials, greatest difference of a byte", "of 255"),
        ],
    );
}

/// Greatest difference of a byte between two `#rrggbb`.
pub fn byte_distance(one: &str, two: &str) -> f64 {
    let bytes = |hex: &str| [1, 3, 5].map(|i| f64::from(u8::from_str_radix(&hex[i..i + 2], 16).unwrap()));
    bytes(one).iter().zip(bytes(two)).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

#[test]
fn reflectance_and_index_at_single_wavelengths() {
    let engine = Engine::new().unwrap();
    let mut at_seven = Worst::default();
    for (r, source) in &carried("cross/bare-metals/reflectance.csv").0 {
        let ours = spectrum(&engine, source, &[r.number("wavelength_nm")])[0];
        let at = format!("{} at {} nm", r.text("id"), r.text("wavelength_nm"));
        at_seven.see(at, ours, r.number("reflectance"), r.number("tolerance"));
    }
    let (mut index, mut share, mut luminous) = (Worst::default(), Worst::default(), Worst::default());
    let d65 = viewing(&engine, "D65", "2", "380-780/5");
    for (r, source) in &carried("cross/bare-metals/at-589.csv").0 {
        let at = r.text("id");
        let built = engine.build(&base(&source.0, &source.1)).unwrap();
        let sample = built.sample(built.values(), &[r.number("wavelength_nm")]);
        index.see(format!("n of {at}"), sample.base[0].re, r.number("n"), r.number("tolerance_nk"));
        index.see(format!("k of {at}"), sample.base[0].im, r.number("k"), r.number("tolerance_nk"));
        share.see(
            at,
            sample.reflectance(STRAIGHT).unwrap()[0],
            r.number("reflectance"),
            r.number("tolerance_reflectance"),
        );
        let y = d65.xyz(&spectrum(&engine, source, &grid("380-780/5"))).y;
        luminous.see(at, y, r.number("y_percent"), r.number("tolerance_y"));
    }
    assert_eq!((at_seven.count, share.count), (105, 8));
    let origin = origin("bare-metals");
    record(
        "bare-metals-at",
        vec![
            at_seven.row(
                origin,
                "4-reflectance",
                "reflectance of bare materials at seven wavelengths",
                "share of light",
            ),
            index.row(origin, "5-index-589", "n and k at 589.3 nm, straight lines between the table's points", "index"),
            share.row(origin, "6-reflectance-589", "reflectance of bare materials at 589.3 nm", "share of light"),
            luminous.row(origin, "7-luminous", "luminous reflectance Y under D65, 2 degrees", "percent"),
        ],
    );
}
