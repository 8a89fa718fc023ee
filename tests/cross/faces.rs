//! What targets send to facets, against rays and adaptive quadrature (scipy), still and turning.

use huewright_tests::accuracy::record;
use huewright_tests::tables::{Record, read};
use huewright_tests::worst::{Origin, Worst};
use routes::carousel::{Carousel, Chamber, Facet, Place, Shield, Target};

const ORIGIN: Origin<'_> = Origin {
    chapter: "faces",
    source: "rays and adaptive quadrature (scipy 1.17.1); means by brute force (numpy 2.4.6)",
    status: "second method, other constants",
};

fn target(r: &Record, bearing_deg: f64) -> Target {
    let [axis_mm, track_height_mm, track_width_mm, emission] =
        r.numbers(["axis_mm", "height_mm", "width_mm", "emission"]);
    Target { bearing_deg, axis_mm, track_height_mm, track_width_mm, emission, centre_mm: 0.0, groove_mm: 0.0 }
}

fn still(r: &Record) -> f64 {
    let whole = target(r, r.number("bearing_deg"));
    let target = Target { centre_mm: r.number("centre_mm"), groove_mm: r.number("groove_mm"), ..whole };
    let shields: Vec<Shield> = r
        .words("shields")
        .iter()
        .map(|s| {
            let v: Vec<f64> = s.split(' ').map(|w| w.parse().unwrap()).collect();
            Shield { at_mm: [v[0], v[1]], radius_mm: v[2] }
        })
        .collect();
    target.arriving(r.numbers(["x", "y", "z"]), r.numbers(["nx", "ny", "nz"]), &shields)
}

fn mean(r: &Record) -> f64 {
    let [table_mm, satellite_mm, satellite_ratio, pin_ratio, shade_mm] =
        r.numbers(["table_mm", "satellite_mm", "satellite_ratio", "pin_ratio", "shade_mm"]);
    let carousel = Carousel {
        rotation: r.text("rotation").parse().unwrap(),
        rpm: 3.0,
        table_mm,
        satellites: r.text("satellites").parse().unwrap(),
        satellite_mm,
        satellite_ratio,
        pin_ratio,
        shade_mm,
    };
    let targets = r.words("bearings_deg").iter().map(|b| target(r, b.parse().unwrap())).collect();
    let [height_mm, around_deg, inward_mm] = r.numbers(["at_height_mm", "around_deg", "inward_mm"]);
    let facet = Facet { at_mm: r.numbers(["fx", "fy", "fz"]), normal: r.numbers(["nx", "ny", "nz"]) };
    Chamber { targets, carousel }.mean(Place { height_mm, around_deg, inward_mm }, facet)
}

#[test]
fn facets_get_what_rays_bring() {
    let (cases, values) = (read("cross/faces/cases.csv"), read("cross/faces/values.csv"));
    assert_eq!(cases.len(), values.len());
    let (mut plain, mut worn, mut hidden, mut cut) =
        (Worst::default(), Worst::default(), Worst::default(), Worst::default());
    for (case, value) in cases.iter().zip(&values) {
        assert_eq!(case.text("case"), value.text("case"));
        let (ours, expected) = (still(case), value.number("per_mm2"));
        if expected <= 0.0 {
            assert!(ours <= 0.0, "{}", case.text("case"));
            continue;
        }
        let (kind, tolerance) = if case.text("case") == "aslant" {
            // Its plane cuts the strip aslant.
            (&mut cut, 1e-6)
        } else if !case.text("shields").is_empty() {
            (&mut hidden, 1e-6)
        } else if case.number("groove_mm") > 0.0 {
            (&mut worn, 1e-6)
        } else {
            (&mut plain, 1e-6)
        };
        kind.see(case.text("case"), ours / expected, 1.0, tolerance);
    }
    let (loads, means) = (read("cross/faces/loads.csv"), read("cross/faces/means.csv"));
    let mut turned = Worst::default();
    for (load, expected) in loads.iter().zip(&means) {
        assert_eq!(load.text("case"), expected.text("case"));
        turned.see(load.text("case"), mean(load) / expected.number("per_mm2"), 1.0, 1e-3);
    }
    assert_eq!(plain.count + worn.count + hidden.count + cut.count, 17);
    assert_eq!(turned.count, 8);
    let unit = "of the value";
    record(
        "faces",
        vec![
            plain.row(ORIGIN, "1-plain", "what a facet gets of a target", unit),
            worn.row(ORIGIN, "2-worn", "what a facet gets of a worn target", unit),
            hidden.row(ORIGIN, "3-hidden", "what a facet gets of a target behind bodies", unit),
            cut.row(ORIGIN, "4-cut", "what a facet gets whose plane cuts the target aslant", unit),
            turned.row(ORIGIN, "5-turned", "mean on a facet that turns one, two and three ways", unit),
        ],
    );
}
