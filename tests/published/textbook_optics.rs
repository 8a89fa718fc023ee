//! Closed forms of textbook optics at one wavelength: Fresnel, the Airy film, quarter-wave stacks, Brewster's angle.

use huewright_tests::accuracy::{Row, record};
use huewright_tests::stacks::{Stack, films, polarisation};
use huewright_tests::tables::read;
use optics::Cx;

#[test]
fn every_row_of_the_closed_forms() {
    let rows = read("published/textbook-optics/single-wavelength.csv");
    assert_eq!(rows.len(), 41);
    let checked = rows.iter().map(|r| {
        let stack = Stack {
            ambient_n: r.number("ambient_n"),
            base: Cx::of(r.number("base_n"), r.number("base_k")),
            films: films(r.text("films")),
        };
        assert_eq!(r.text("quantity"), "R", "all closed forms here are reflectances");
        let ours =
            stack.reflectance(r.number("wavelength_nm"), r.number("angle_deg"), polarisation(r.text("polarisation")));
        let expected = r.number("value");
        Row {
            key: format!("textbook-optics/{}", r.text("id")),
            what: format!(
                "reflectance, {}, {} degrees, {}",
                r.text("id"),
                r.text("angle_deg"),
                r.text("polarisation")
            ),
            source: format!("Born and Wolf, Principles of Optics; Macleod, Thin-Film Optical Filters: {}", r.text("note")),
            status: "closed form".to_owned(),
            expected: r.text("value").to_owned(),
            // An exact zero comes out as rounding noise that differs from machine to machine.
            ours: if expected == 0.0 { "below the tolerance".to_owned() } else { format!("{ours:.12}") },
            miss: (ours - expected).abs(),
            tolerance: r.number("tolerance"),
            unit: "share of light".to_owned(),
            why: None,
        }
    });
    record("textbook-optics", checked.collect());
}
