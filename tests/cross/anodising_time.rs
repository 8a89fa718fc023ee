//! Anodising through time against an implicit method with other unknowns (scipy), constants that are none of ours.

use huewright_tests::accuracy::record;
use huewright_tests::tables::{Record, read};
use huewright_tests::worst::{Origin, Worst};
use routes::anodise::Anodise;
use routes::anodising::{Drive, Moment, Stop, anodise};
use routes::cell::{Cell, Zone};
use routes::charge::Oxide;
use routes::field::HighField;

const ORIGIN: Origin<'_> = Origin {
    chapter: "anodising-time",
    source: "implicit Runge-Kutta (scipy 1.17.1, Radau), the current as unknown",
    status: "second method, other constants",
};
/// Share of thickness, charge and voltage.
const TOLERANCE: f64 = 1e-4;

fn numbers(r: &Record, column: &str) -> Vec<f64> {
    r.words(column).iter().map(|w| w.parse().unwrap()).collect()
}

fn film(r: &Record) -> HighField {
    let [ratio, offset, slope, at_ma] = r.numbers(["ratio_nm_per_v", "offset_nm", "slope", "at_ma_per_cm2"]);
    let [electrons, molar_mass_g, density_g_cm3, efficiency] =
        r.numbers(["electrons", "molar_mass_g", "density_g_cm3", "efficiency"]);
    HighField {
        law: Anodise {
            offset_nm: offset,
            offset_sd_nm: 0.0,
            ratio_nm_per_v: ratio,
            ratio_sd_nm_per_v: 0.0,
            consumed: 0.5,
            repeatability_v: 0.0,
        },
        oxide: Oxide { electrons, molar_mass_g, density_g_cm3, efficiency },
        slope,
        at_ma_per_cm2: at_ma,
        at_c: 20.0,
        bath_c: 20.0,
        warms: false,
    }
}

/// Volts at a time, straight between the points.
fn volts_at(at: &[f64], volts: &[f64], t: f64) -> f64 {
    let next = at.iter().position(|a| t < *a).unwrap_or(at.len());
    if next == 0 || next == at.len() {
        return volts[next.min(at.len() - 1)];
    }
    let share = (t - at[next - 1]) / (at[next] - at[next - 1]);
    volts[next - 1] + share * (volts[next] - volts[next - 1])
}

/// The cell of a case, run to `after_s` with an error of `tolerance_nm` in each step.
fn run(r: &Record, after_s: f64, tolerance_nm: f64) -> Moment {
    let (areas, from) = (numbers(r, "areas_cm2"), numbers(r, "from_nm"));
    let zones: Vec<Zone> = areas.iter().zip(&from).map(|(a, d)| Zone { area_cm2: *a, thickness_nm: *d }).collect();
    let [bath_ohm_cm2, series_ohm, most_a] = r.numbers(["bath_ohm_cm2", "series_ohm", "most_a"]);
    let cell = Cell { bath_ohm_cm2, series_ohm, most_a: Some(most_a), cathode_v: 0.0 };
    let (volts, at) = (numbers(r, "volts_v"), numbers(r, "at_s"));
    let [begun, ended] = r.numbers(["lift_from_s", "lift_to_s"]);
    let lifted = ended > begun;
    #[expect(clippy::cast_precision_loss, reason = "some tens")]
    let (count, place) = (zones.len() as f64, |i: usize| i as f64);
    let out = |t: f64| ((t - begun) / (ended - begun)).clamp(0.0, 1.0) * count;
    let drive = Drive {
        voltage_v: &|t| volts_at(&at, &volts, t),
        immersed: &|i, t| if lifted { 1.0 - (out(t) - place(i)) } else { 1.0 },
        longest_s: if lifted { (ended - begun) / count } else { f64::INFINITY },
    };
    let stop = Stop { after_s, current_a: None, thickness_nm: None };
    anodise(&film(r), &cell, &zones, &drive, stop, tolerance_nm).end().clone()
}

#[test]
fn courses_agree_with_a_second_method() {
    let cases = read("cross/anodising-time/cases.csv");
    let courses = read("cross/anodising-time/courses.csv");
    let mut rows = Vec::new();
    for case in &cases {
        let name = case.text("case");
        // What a plan takes: fine for a held voltage, coarser for the many slices of a fade.
        // As a plan takes it (plan/hoist.rs, plan/anodise.rs).
        let tolerance_nm = 1e-4;
        let (mut thickness, mut charge, mut volts) = (Worst::default(), Worst::default(), Worst::default());
        for r in courses.iter().filter(|r| r.text("case") == name) {
            let end = run(case, r.number("time_s"), tolerance_nm);
            let at = format!("{} s", r.text("time_s"));
            for (ours, expected) in end.thickness_nm.iter().zip(numbers(r, "thickness_nm")) {
                thickness.see(&at, ours / expected, 1.0, TOLERANCE);
            }
            charge.see(&at, end.charge_c / r.number("charge_c"), 1.0, TOLERANCE);
            volts.see(&at, end.film_v / r.number("film_v"), 1.0, TOLERANCE);
        }
        for (key, what, worst) in [
            ("thickness", "thickness of each zone", &thickness),
            ("charge", "charge", &charge),
            ("volts", "volts over the film", &volts),
        ] {
            let what = format!("{what} through time, case '{name}', beside the second method's");
            rows.push(worst.row(ORIGIN, &format!("{name}-{key}"), &what, "of the value"));
        }
    }
    assert_eq!(rows.len(), 15);
    record("anodising-time", rows);
}

/// A time that falls on a kink of the programme or on the moment at which a limit lets go is no trouble for the steps.
#[test]
fn a_finer_tolerance_comes_nearer_to_the_second_method() {
    let cases = read("cross/anodising-time/cases.csv");
    let courses = read("cross/anodising-time/courses.csv");
    for case in &cases {
        let last = courses.iter().rfind(|r| r.text("case") == case.text("case")).unwrap();
        let end = run(case, last.number("time_s"), 1e-7);
        for (ours, expected) in end.thickness_nm.iter().zip(numbers(last, "thickness_nm")) {
            assert!((ours / expected - 1.0).abs() < 2e-6, "{}: {ours} {expected}", case.text("case"));
        }
        assert!((end.film_v / last.number("film_v") - 1.0).abs() < 2e-6, "{}: {end:?}", case.text("case"));
        assert!((end.charge_c / last.number("charge_c") - 1.0).abs() < 2e-6, "{}", case.text("case"));
    }
}
