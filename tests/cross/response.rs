//! The local response learnt from a shop's runs, against the same regression by singular values and Student's t of scipy.

use huewright::Engine;
use huewright::response::Response;
use huewright_tests::accuracy::{Row, record};
use huewright_tests::loads::corrected;
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use std::collections::BTreeMap;

const ORIGIN: Origin<'_> =
    Origin { chapter: "response", source: "tests/cross/response/make.py (numpy, scipy)", status: "second method" };

fn numbers(text: &str) -> Vec<f64> {
    text.split(' ').map(|v| v.parse().unwrap()).collect()
}

/// Runs of one set: settings, and L*, a*, b*.
type Runs = Vec<(Vec<f64>, [f64; 3])>;

fn sets() -> BTreeMap<String, Runs> {
    let mut sets: BTreeMap<String, Runs> = BTreeMap::new();
    for r in read("cross/response/runs.csv") {
        let run = (numbers(r.text("settings")), r.numbers(["l", "a", "b"]));
        sets.entry(r.text("set").to_owned()).or_default().push(run);
    }
    sets
}

#[test]
fn a_response_is_the_same_by_singular_values() {
    let learnt: BTreeMap<String, Response<3>> =
        sets().into_iter().map(|(name, runs)| (name, Response::learn(&runs).unwrap())).collect();
    let (mut slopes, mut doubts, mut foreseen) = (Worst::default(), Worst::default(), Worst::default());
    for r in read("cross/response/coefficients.csv") {
        let of = &learnt[r.text("set")];
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "small indices")]
        let [i, n] = [r.number("setting") as usize, r.number("axis") as usize];
        let at = format!("{}, setting {i}, axis {n}", r.text("set"));
        let (slope, sd) = of.slope(n, i);
        slopes.see(at.clone(), slope, r.number("slope"), r.number("tolerance"));
        doubts.see(at.clone(), sd, r.number("sd"), r.number("tolerance"));
        doubts.see(format!("{at}, scatter"), of.scatter(n), r.number("scatter"), r.number("tolerance"));
    }
    let mut outside = 0;
    for r in read("cross/response/foreseen.csv") {
        let at = format!("{} at {}", r.text("set"), r.text("settings"));
        let told = learnt[r.text("set")].at(&numbers(r.text("settings")));
        assert_eq!(told.is_some(), r.number("known") > 0.5, "{at}");
        let Some(told) = told else {
            outside += 1;
            continue;
        };
        let (mean, scale) = (r.numbers(["l", "a", "b"]), r.numbers(["scale_l", "scale_a", "scale_b"]));
        for i in 0..3 {
            foreseen.see(format!("{at}, axis {i}"), told.mean[i], mean[i], r.number("tolerance"));
            foreseen.see(format!("{at}, scale {i}"), told.scale[i], scale[i], r.number("tolerance"));
        }
        foreseen.see(format!("{at}, freedom"), told.freedom, r.number("freedom"), 1e-12);
    }
    assert_eq!((slopes.count, outside), (21, 7));
    let unit = "Lab units";
    record(
        "response",
        vec![
            slopes.row(ORIGIN, "1-slopes", "slopes of a response", "Lab units for each unit of the setting"),
            doubts.row(ORIGIN, "2-doubts", "doubts of the slopes, and scatter about the line", unit),
            foreseen.row(ORIGIN, "3-foreseen", "what a run will show, and the scale of Student's t", unit),
        ],
    );
}

/// A chance that the program draws, where scipy's Student's t says 95 %: limits of one axis alone, at the place itself.
#[test]
fn a_chance_is_that_of_students_t() {
    let engine = Engine::new().unwrap();
    let all = read("cross/response/foreseen.csv");
    let middle = all.iter().find(|r| r.text("set") == "one" && r.text("settings") == "8").unwrap();
    let mut rows = Vec::new();
    for (axis, key) in [("l", "L*"), ("a", "a*"), ("b", "b*")] {
        let half = middle.number("t95") * middle.number(&format!("scale_{axis}"));
        let [l, a, b] = middle.numbers(["l", "a", "b"]);
        let mut text = format!("schema = 1\n[wanted]\nlab = [{l}, {a}, {b}]\nlimits = {{ {axis} = {half} }}\n");
        for (settings, lab) in &sets()["one"] {
            let sccm = settings[0];
            text.push_str(&format!(
                "[[load]]\nacetylene_sccm = {sccm}\n[[load.witness]]\nat = \"middle\"\nlab = {lab:?}\n"
            ));
        }
        let told = corrected(&engine, &text).unwrap();
        let next = told.next.unwrap();
        assert!((next.set[0].to - 8.0).abs() < 0.02 && next.delta_e < 0.01, "{next:?}");
        rows.push(Row {
            key: format!("response-chance/{axis}"),
            what: format!("chance of a run inside limits of {key} that hold 95 % of Student's t (1000 draws)"),
            source: "scipy.stats.t".to_owned(),
            status: "other library".to_owned(),
            expected: "0.95".to_owned(),
            ours: format!("{:.3}", next.chance),
            miss: (next.chance - 0.95).abs(),
            // Three standard deviations of 1000 draws.
            tolerance: 3.0 * (0.95_f64 * 0.05 / 1000.0).sqrt(),
            unit: "share".to_owned(),
            why: None,
        });
    }
    record("response-chance", rows);
}
