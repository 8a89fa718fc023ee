//! Answers of colour-science 0.4.7: sums to XYZ and Lab, CIEDE2000, Bradford, linear sRGB and Display P3.

use colour::{DISPLAY_P3, Display, Lab, SRGB, Xyz, adapt, ciede2000};
use huewright::Engine;
use huewright_tests::accuracy::record;
use huewright_tests::lights::viewing;
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};

const ORIGIN: Origin<'_> =
    Origin { chapter: "colour-science", source: "colour-science 0.4.7, 12 digits", status: "other library" };
/// The 12 digits leave 5e-11; the library's differences go through angles (README).
const TOLERANCE: f64 = 1e-9;
const DIFFERENCE_TOLERANCE: f64 = 1e-8;

#[test]
fn sums_differences_and_matrices() {
    let [sums, differences, adaptation, matrices] = [sums(), differences(), adaptation(), matrices()];
    let rows = vec![
        sums.rounding_row(
            ORIGIN,
            "1-xyz-lab",
            "XYZ and Lab of 30 spectra under 7 lights and observers",
            "XYZ or Lab units",
        ),
        differences.rounding_row(ORIGIN, "2-ciede2000", "CIEDE2000 of 200 pairs in both orders", "dE00"),
        adaptation.rounding_row(ORIGIN, "3-bradford", "Bradford adaptation, A to D65 and D50 to D65", "XYZ units"),
        matrices.rounding_row(
            ORIGIN,
            "4-linear-rgb",
            "linear sRGB and Display P3 of 40 colours, not clipped",
            "linear light",
        ),
    ];
    record("colour-science", rows);
}

fn sums() -> Worst {
    let engine = Engine::new().unwrap();
    let spectra = read("cross/colour-science/spectra.csv");
    let mut worst = Worst::default();
    for r in read("cross/colour-science/xyz-lab.csv") {
        let viewing = viewing(&engine, r.text("light"), r.text("observer"), "380-780/5");
        let spectrum: Vec<f64> = spectra.iter().map(|s| s.number(r.text("spectrum"))).collect();
        let (xyz, lab) = (viewing.xyz(&spectrum), viewing.lab(&spectrum));
        let at = format!("{} {} {}", r.text("spectrum"), r.text("light"), r.text("observer"));
        for (column, ours) in [("x", xyz.x), ("y", xyz.y), ("z", xyz.z), ("l", lab.l), ("a", lab.a), ("b", lab.b)] {
            worst.see(format!("{column} of {at}"), ours, r.number(column), TOLERANCE);
        }
    }
    assert_eq!(worst.count, 210 * 6);
    worst
}

fn differences() -> Worst {
    let mut worst = Worst::default();
    for (number, r) in read("cross/colour-science/ciede2000.csv").iter().enumerate() {
        let [l1, a1, b1, l2, a2, b2] = r.numbers(["l1", "a1", "b1", "l2", "a2", "b2"]);
        let (one, two) = (Lab { l: l1, a: a1, b: b1 }, Lab { l: l2, a: a2, b: b2 });
        worst.see(format!("pair {number}"), ciede2000(one, two), r.number("de00"), DIFFERENCE_TOLERANCE);
        worst.see(format!("pair {number} turned round"), ciede2000(two, one), r.number("de00"), DIFFERENCE_TOLERANCE);
    }
    assert_eq!(worst.count, 400);
    worst
}

fn adaptation() -> Worst {
    let mut worst = Worst::default();
    for (number, r) in read("cross/colour-science/bradford.csv").iter().enumerate() {
        let xyz = |columns: [&str; 3]| {
            let [x, y, z] = r.numbers(columns);
            Xyz { x, y, z }
        };
        let (from, to) = (xyz(["from_xw", "from_yw", "from_zw"]), xyz(["to_xw", "to_yw", "to_zw"]));
        let ours = adapt(xyz(["x", "y", "z"]), from, to);
        for (column, ours) in [("x_out", ours.x), ("y_out", ours.y), ("z_out", ours.z)] {
            worst.see(format!("{column} of line {number}"), ours, r.number(column), TOLERANCE);
        }
    }
    assert_eq!(worst.count, 24 * 3);
    worst
}

/// The matrix goes from linear light to XYZ: the library's linear light must come back as the XYZ it was made of, and the
/// difference is carried to linear light by the inverse.
fn matrices() -> Worst {
    let mut worst = Worst::default();
    for (number, r) in read("cross/colour-science/linear-rgb.csv").iter().enumerate() {
        let xyz = r.numbers(["x", "y", "z"]).map(|v| v / 100.0);
        for (display, columns) in [(SRGB, ["srgb_r", "srgb_g", "srgb_b"]), (DISPLAY_P3, ["p3_r", "p3_g", "p3_b"])] {
            let ours = solve(display, xyz);
            for (column, ours) in columns.iter().zip(ours) {
                worst.see(format!("{column} of line {number}"), ours, r.number(column), TOLERANCE);
            }
        }
    }
    assert_eq!(worst.count, 40 * 6);
    worst
}

/// Linear light of XYZ by Cramer's rule, so that nothing but the display's own matrix is ours.
fn solve(display: Display, xyz: [f64; 3]) -> [f64; 3] {
    let m = display.matrix();
    let determinant = |m: [[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    [0, 1, 2].map(|column| {
        let mut replaced = m;
        for (line, value) in replaced.iter_mut().zip(xyz) {
            line[column] = value;
        }
        determinant(replaced) / determinant(m)
    })
}
