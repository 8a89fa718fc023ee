//! One film on a metal against thickness: what published tables of n and k imply, and how we show it on a screen.

use crate::bare_metals::byte_distance;
use crate::tables_held::held;
use colour::SRGB;
use huewright::finish::Eye;
use huewright::{Conditions, Engine};
use huewright_tests::accuracy::record;
use huewright_tests::finishes::coated;
use huewright_tests::lights::{grid, viewing};
use huewright_tests::tables::{Record, read};
use huewright_tests::worst::{Origin, Worst};
use library::FinishFile;
use optics::{Geometry, View};
use std::collections::BTreeMap;

const STRAIGHT: View = View { tilt_deg: 0.0, geometry: Geometry::Included };
/// Lab through `look`, on the 5 nm grid whatever the row's: 0.05 of rounding and as much of the grid.
const THROUGH_LOOK: f64 = 0.1;

fn origin(chapter: &str) -> Origin<'_> {
    Origin { chapter, source: "published tables of n and k, worked out outside this program", status: "derived" }
}

fn finish(r: &Record) -> FinishFile {
    let (film, base) = (held(r.text("film_table")).unwrap(), held(r.text("base_table")).unwrap());
    coated((&base.0, &base.1), (&film.0, &film.1), r.number("thickness_nm"))
}

#[derive(Default)]
struct Set {
    own_grid: Worst,
    through_look: Worst,
    hex: Worst,
}

#[test]
fn one_film_on_a_metal() {
    let engine = Engine::new().unwrap();
    let eye = Eye::new(&engine, &Conditions::default()).unwrap();
    let mut sets: BTreeMap<String, Set> = BTreeMap::new();
    let mut outside = 0;
    for r in read("cross/coated/lab.csv") {
        assert_eq!((r.text("light"), r.text("observer")), ("D65", "2"));
        let at = format!("{} nm", r.text("thickness_nm"));
        let built = engine.build(&finish(&r)).unwrap();
        let spectrum = built.sample(built.values(), &grid(r.text("grid_nm"))).reflectance(STRAIGHT).unwrap();
        let lab = viewing(&engine, "D65", "2", r.text("grid_nm")).lab(&spectrum);
        let set = sets.entry(r.text("set").to_owned()).or_default();
        if r.maybe("l").is_some() {
            let (expected, tolerance) = (r.numbers(["l", "a", "b"]), r.number("tolerance"));
            let seen = eye.lab(&built, built.values()).unwrap();
            for (i, name) in ["L*", "a*", "b*"].iter().enumerate() {
                let at = format!("{name}, {at}");
                set.own_grid.see(at.clone(), [lab.l, lab.a, lab.b][i], expected[i], tolerance);
                // A row in whole digits says nothing about a tenth.
                if tolerance < THROUGH_LOOK {
                    set.through_look.see(at, [seen.l, seen.a, seen.b][i], expected[i], THROUGH_LOOK);
                }
            }
        }
        if !r.text("hex").is_empty() {
            // Colours outside sRGB are clipped there and reduced in chroma here: the flags agree, the bytes cannot.
            let shown = SRGB.show(lab);
            assert_eq!(shown.out_of_gamut, r.text("outside_srgb") == "1", "{} {at}", r.text("set"));
            if shown.out_of_gamut {
                outside += 1;
            } else {
                set.hex.see(at, byte_distance(&shown.hex(), r.text("hex")), 0.0, 0.0);
            }
        }
    }
    assert_eq!((sets.len(), outside), (7, 8));
    let mut rows = Vec::new();
    for (name, set) in &sets {
        let key = name.replace(' ', "-");
        let origin = origin("coated");
        let what = format!("Lab, set {name}, on the grid of the rows");
        rows.push(set.own_grid.row(origin, &format!("{key}-1-own-grid"), &what, "Lab units"));
        let what = format!("Lab, set {name}, through look on the 5 nm grid");
        rows.push(set.through_look.row(origin, &format!("{key}-2-look"), &what, "Lab units"));
        if set.hex.count > 0 {
            let what = format!("sRGB bytes, set {name}, greatest difference of a byte");
            rows.push(set.hex.row(origin, &format!("{key}-3-hex"), &what, "of 255"));
        }
    }
    record("coated", rows);
}

/// The calculation that belongs to the published row which we miss.
#[test]
fn titania_209_nm() {
    let engine = Engine::new().unwrap();
    let (mut colour, mut peak) = (Worst::default(), Worst::default());
    for r in read("cross/coated/titania-209nm.csv") {
        let built = engine.build(&finish(&r)).unwrap();
        let grid_nm = grid(r.text("grid_nm"));
        let spectrum = built.sample(built.values(), &grid_nm).reflectance(STRAIGHT).unwrap();
        let lab = viewing(&engine, "D65", "2", r.text("grid_nm")).lab(&spectrum);
        let film = r.text("film_table").trim_end_matches(".csv");
        for (name, ours) in [("l", lab.l), ("a", lab.a), ("b", lab.b)] {
            colour.see(format!("{name}, {film}"), ours, r.number(name), r.number("tolerance_lab"));
        }
        let middle = grid_nm.iter().zip(&spectrum).filter(|(w, _)| **w > 450.0 && **w < 700.0);
        let at = middle.max_by(|a, b| a.1.total_cmp(b.1)).unwrap().0;
        peak.see(film, *at, r.number("peak_wavelength_nm"), r.number("tolerance_peak_nm"));
    }
    assert_eq!((colour.count, peak.count), (9, 3));
    let origin = origin("coated");
    record(
        "coated-209nm",
        vec![
            colour.row(
                origin,
                "titania-209nm-1-lab",
                "Lab of 209 nm of titania on titanium, three tables",
                "Lab units",
            ),
            peak.row(origin, "titania-209nm-2-peak", "peak of its reflectance", "nm"),
        ],
    );
}
