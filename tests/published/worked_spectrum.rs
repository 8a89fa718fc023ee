//! One reflectance spectrum worked to XYZ. Rows that need another interpolation than ours are asserted as misses.

use colour::{SpectralTable, Viewing, Xyz};
use huewright::Engine;
use huewright_tests::accuracy::{Row, record};
use huewright_tests::lights::{grid, light, observer, points};
use huewright_tests::tables::{Record, columns, read};

/// Reflectance on a grid: linear between the points, zero outside 400 to 700 nm, as the rows say.
fn sample(wavelength_nm: &[f64]) -> Vec<f64> {
    let (at, value) = columns("published/worked-spectrum/spectrum.csv", "wavelength_nm", "reflectance");
    let table = SpectralTable::new(at, value).unwrap();
    wavelength_nm.iter().map(|w| table.at(*w)).collect()
}

/// CIE standard illuminant A by its formula, not rounded (CIE 015:2018; as in data/lights/a.toml).
fn formula_of_a(wavelength_nm: &[f64]) -> SpectralTable {
    let planck = |nm: f64| (1.435e7 / (2848.0 * nm)).exp_m1();
    let power = |nm: f64| 100.0 * (560.0 / nm).powi(5) * planck(560.0) / planck(nm);
    SpectralTable::new(wavelength_nm.to_vec(), wavelength_nm.iter().map(|w| power(*w)).collect()).unwrap()
}

/// A table held at its ends on the grid: rows that say so.
fn held(table: (Vec<f64>, Vec<f64>), wavelength_nm: &[f64], last_nm: f64) -> SpectralTable {
    let inner = SpectralTable::new(table.0.clone(), table.1).unwrap();
    let values = wavelength_nm.iter().map(|w| inner.at(w.clamp(table.0[0], last_nm))).collect();
    SpectralTable::new(wavelength_nm.to_vec(), values).unwrap()
}

fn plain_sums(engine: &Engine, row: &Record) -> Xyz {
    let (word, eye) = (row.text("light"), row.text("observer"));
    let wavelength_nm = grid(row.text("grid_nm"));
    let power = match row.text("id") {
        "w01" => held(points(engine, word), &wavelength_nm, 780.0),
        "w03" => formula_of_a(&wavelength_nm),
        _ => light(engine, word),
    };
    let functions = match row.text("id") {
        "w01" => {
            let head = engine.observer(eye).unwrap();
            [0, 1, 2]
                .map(|i| held((head.table.wavelength_nm.clone(), head.table.columns[i].clone()), &wavelength_nm, 830.0))
        }
        _ => observer(engine, eye),
    };
    let viewing = Viewing::new((word, &power), (eye, &functions), &wavelength_nm).unwrap();
    viewing.xyz(&sample(&wavelength_nm))
}

#[test]
fn plain_sums_and_what_they_cannot_give() {
    let engine = Engine::new().unwrap();
    let mut missed = Vec::new();
    let rows = read("published/worked-spectrum/xyz.csv")
        .iter()
        .map(|r| {
            let ours = plain_sums(&engine, r);
            let expected = r.numbers(["x", "y", "z"]);
            let miss = (ours.x - expected[0]).abs().max((ours.y - expected[1]).abs()).max((ours.z - expected[2]).abs());
            let why = r.text("plain_sums_give_it").strip_prefix("no: ").map(|needs| {
                missed.push(r.text("id").to_owned());
                format!("{needs}; we sum plainly, with straight lines between the points")
            });
            Row {
                key: format!("worked-spectrum/{}", r.text("id")),
                what: format!(
                    "XYZ of a worked spectrum under {} at {} degrees, {}, grid {}",
                    r.text("light"),
                    r.text("observer"),
                    r.text("method"),
                    r.text("grid_nm")
                ),
                source: "test suite of colour-science 0.4.7, after ASTM E308-15".to_owned(),
                status: if r.text("status").contains('S') { "published" } else { "other library" }.to_owned(),
                expected: format!("{} {} {}", r.text("x"), r.text("y"), r.text("z")),
                ours: format!("{:.8} {:.8} {:.8}", ours.x, ours.y, ours.z),
                miss,
                tolerance: r.number("tolerance"),
                unit: "XYZ, Y = 100".to_owned(),
                why,
            }
        })
        .collect();
    assert_eq!(missed, ["w02", "w04", "w05", "w11"]);
    record("worked-spectrum", rows);
}
