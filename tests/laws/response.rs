//! A film without a table: the shop's own runs speak, between the settings that were tried and nowhere else.

use colour::{Lab, ciede2000};
use huewright::Engine;
use huewright::correct::Correction;
use huewright_tests::accuracy::{Row, record};
use huewright_tests::chance::Chance;
use huewright_tests::loads::corrected;
use huewright_tests::plans::bells;

/// What the invented log was drawn from (before scatter): acetylene and nitrogen, sccm.
fn truth(x: f64, y: f64) -> [f64; 3] {
    let n = y - 12.0;
    [
        74.0 - 2.4 * x + 0.06 * x * x - 0.5 * n,
        4.0 + 1.6 * x - 0.09 * x * x + 0.5 * n,
        30.0 - 2.6 * x + 0.08 * x * x + 0.9 * n,
    ]
}

fn set(told: &Correction, key: &str) -> f64 {
    // A setting that is not told otherwise stays as it was.
    let told_otherwise = told.next.as_ref().unwrap().set.iter().find(|s| s.key == key).map(|s| s.to);
    told_otherwise.unwrap_or_else(|| told.loads.last().unwrap().settings[key])
}

fn demo() -> String {
    std::fs::read_to_string(bells().join("loads-carbonitride.toml")).unwrap()
}

#[test]
fn the_next_carbonitride_lands_in_the_truth() {
    let engine = Engine::new().unwrap();
    let told = corrected(&engine, &demo()).unwrap();
    let response = told.response.as_ref().unwrap();
    assert_eq!((response.runs, response.refused.as_ref(), told.film.as_ref()), (8, None, None));
    for (key, span) in [("acetylene_sccm", [2.0, 9.0]), ("nitrogen_sccm", [10.5, 14.5])] {
        let told = response.settings[key];
        assert!((told[0] - span[0]).abs() < 1e-12 && (told[1] - span[1]).abs() < 1e-12, "{key}: {told:?}");
    }
    assert_eq!(response.settings.len(), 2, "what never moved is no setting: {:?}", response.settings);
    let (x, y) = (set(&told, "acetylene_sccm"), set(&told, "nitrogen_sccm"));
    let came = truth(x, y);
    let reach = [2.0, 1.5, 2.0];
    let wanted = [63.3, 10.0, 19.5];
    let worst = (0..3).map(|i| (came[i] - wanted[i]).abs() / reach[i]).fold(0.0, f64::max);
    let next = told.next.as_ref().unwrap();
    let rows = vec![Row {
        key: "response-law/next".to_owned(),
        what: "the next load of the carbonitride, put into the function that its log was drawn from".to_owned(),
        source: "examples/bells/loads-carbonitride.toml (invented)".to_owned(),
        status: "law".to_owned(),
        expected: "within the limits".to_owned(),
        ours: format!("acetylene {x:.2}, nitrogen {y:.2} sccm, chance {:.2}", next.chance),
        miss: worst,
        tolerance: 1.0,
        unit: "of the limit".to_owned(),
        why: None,
    }];
    // The slopes of the line are those of the function in the middle of the runs, within three told standard deviations
    // and what the bend of the function makes of a straight line.
    for slope in &response.slopes {
        let step = |d: f64| if slope.setting.starts_with('a') { truth(6.0 + d, 12.0) } else { truth(6.0, 12.0 + d) };
        for i in 0..3 {
            let expected = 0.5 * (step(1.0)[i] - step(-1.0)[i]);
            assert!((slope.lab[i] - expected).abs() < 3.0 * slope.sd[i] + 0.1, "{slope:?} {expected}");
        }
    }
    record("response-law", rows);
}

#[test]
fn nothing_is_told_outside_the_runs() {
    let engine = Engine::new().unwrap();
    let demo = demo();
    let mut chance = Chance::new(17);
    for _ in 0..40 {
        let lab = [chance.between(10.0, 100.0), chance.between(-60.0, 60.0), chance.between(-60.0, 60.0)];
        let text = demo.replace("lab = [63.3, 10.0, 19.5]", &format!("lab = {lab:?}"));
        let told = corrected(&engine, &text).unwrap();
        let next = told.next.as_ref().unwrap();
        let (x, y) = (set(&told, "acetylene_sccm"), set(&told, "nitrogen_sccm"));
        assert!((2.0..=9.0).contains(&x) && (10.5..=14.5).contains(&y), "{x} {y}");
        // The corners of the box that no run came near are outside too: few acetylene with much or little nitrogen.
        assert!(x + 0.8 * (y - 12.0).abs() > 2.5 || (y - 12.0).abs() < 0.8, "{x} {y}");
        assert!((0.0..=1.0).contains(&next.chance));
        // What is far off is not promised, and that it stands at an end is told.
        let [l, a, b] = next.lab;
        let off = ciede2000(Lab { l, a, b }, Lab { l: lab[0], a: lab[1], b: lab[2] });
        assert!((off - next.delta_e).abs() < 0.2 && (off < 5.0 || next.chance < 0.2), "{off} {next:?}");
    }
    // One run less than is needed is refused with the number; what no one turned teaches nothing.
    let parts: Vec<&str> = demo.split("\n[[load]]").collect();
    let few = parts[..4].join("\n[[load]]");
    let told = corrected(&engine, &few).unwrap();
    let refused = told.response.unwrap().refused.unwrap();
    assert!(refused.contains("3 runs") && refused.contains("4 are needed") && told.next.is_none(), "{refused}");
    let still = parts[..2].join("\n[[load]]") + "\n[[load]]\n[[load.witness]]\nat = \"middle\"\nlab = [60, 8, 20]\n";
    let told = corrected(&engine, &still).unwrap();
    assert!(told.response.unwrap().refused.unwrap().contains("no setting was changed"));
}
