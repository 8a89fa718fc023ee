//! Seven stacks of constant n and k at 0 and 60 degrees: reflectance, Lab under four lights and observers, XYZ.

use huewright::Engine;
use huewright_tests::accuracy::record;
use huewright_tests::lights::{grid, viewing};
use huewright_tests::stacks::Stack;
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use optics::{Cx, Geometry, View};
use std::collections::BTreeMap;

const ORIGIN: Origin<'_> = Origin {
    chapter: "constant-index-stacks",
    source: "own recursion outside this program; at 0 degrees also colour-science 0.4.7",
    status: "second method",
};
/// Half the last printed digit.
const REFLECTANCE: f64 = 5e-7;
const COLOUR: f64 = 5e-5;

#[test]
fn seven_stacks_straight_on_and_at_60_degrees() {
    let engine = Engine::new().unwrap();
    let wavelength_nm = grid("380-780/5");
    let all_films = read("cross/constant-index-stacks/films.csv");
    let stacks = read("cross/constant-index-stacks/stacks.csv");
    assert_eq!(stacks.len(), 14);
    let viewings = [("D65", "2"), ("D65", "10"), ("A", "10"), ("F11", "10")].map(|(light, observer)| {
        let columns = ["l", "a", "b"].map(|c| format!("{c}_{}_{observer}", light.to_lowercase()));
        (viewing(&engine, light, observer, "380-780/5"), columns)
    });
    let mut worst: BTreeMap<&str, (Worst, Worst)> = BTreeMap::new();
    for r in &stacks {
        let mut films: Vec<_> = all_films.iter().filter(|f| f.text("stack") == r.text("stack")).collect();
        films.sort_by_key(|f| f.text("from_base").to_owned());
        let stack = Stack {
            ambient_n: 1.0,
            base: Cx::of(r.number("base_n"), r.number("base_k")),
            films: films.iter().map(|f| (Cx::of(f.number("n"), f.number("k")), f.number("thickness_nm"))).collect(),
        };
        let view = View { tilt_deg: r.number("angle_deg"), geometry: Geometry::Included };
        let spectrum = stack.sample(&wavelength_nm).reflectance(view).unwrap();
        let (reflectance, colour) = worst.entry(r.text("stack")).or_default();
        let at = |column: &str| format!("{column} at {} degrees", r.text("angle_deg"));
        for (number, column) in [(14, "r450"), (34, "r550"), (54, "r650")] {
            reflectance.see(at(column), spectrum[number], r.number(column), REFLECTANCE);
        }
        for (viewing, columns) in &viewings {
            let lab = viewing.lab(&spectrum);
            for (column, ours) in columns.iter().zip([lab.l, lab.a, lab.b]) {
                colour.see(at(column), ours, r.number(column), COLOUR);
            }
        }
        if !r.text("x_d65_2").is_empty() {
            let xyz = viewings[0].0.xyz(&spectrum);
            for (column, ours) in [("x_d65_2", xyz.x), ("y_d65_2", xyz.y), ("z_d65_2", xyz.z)] {
                colour.see(at(column), ours, r.number(column), COLOUR);
            }
        }
    }
    let mut rows = Vec::new();
    for (stack, (reflectance, colour)) in &worst {
        assert_eq!((reflectance.count, colour.count), (6, 27));
        let of = format!("of stack {stack}, 0 and 60 degrees");
        rows.push(reflectance.row(ORIGIN, &format!("{stack}-1-r"), &format!("reflectance {of}"), "share of light"));
        rows.push(colour.row(ORIGIN, &format!("{stack}-2-colour"), &format!("Lab and XYZ {of}"), "Lab or XYZ units"));
    }
    assert_eq!(rows.len(), 14);
    record("constant-index-stacks", rows);
}
