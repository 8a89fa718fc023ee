//! What a plan once allowed or refused wrongly.

use huewright::Engine;
use huewright_tests::accuracy::{Row, record};
use huewright_tests::plans::planned;

const DOME: &str = "schema = 1\nworkshop = \"workshop.toml\"\npart = \"dome.toml\"\n[[area]]\nname = \"rim\"\nshare = 0.3\n\
                    [[area]]\nname = \"crown\"\nshare = 0.7\n";

fn bath(volts: f64, more: &str) -> String {
    format!("[[step]]\nroute = \"anodise\"\nbath = \"sulfate jar\"\nvoltage_v = {volts}\n{more}\n")
}

#[test]
fn what_was_once_wrong_is_right() {
    let engine = Engine::new().unwrap();
    let rim = "areas = [\"rim\"]";
    let hot = "[[step]]\nroute = \"heat\"\nmachine = \"kiln\"\ntemperature_c = 560\nminutes = 30\n";
    let lacquered = "schema = 1\nworkshop = \"workshop.toml\"\n[start.base]\nmaterial = \"titanium\"\n[[start.over]]\n\
                     material = \"lacquer\"\nthickness_um = 20\n";
    let cases = [
        ("heat-over-lacquer", "heat under a clear lacquer, which would burn", false, format!("{lacquered}{hot}")),
        (
            "stripped-on-purpose",
            "a rim that was stripped on purpose and is coloured anew with the rest",
            true,
            format!("{DOME}{}[[step]]\npreparation = \"strip\"\n{rim}\n{}", bath(30.0, rim), bath(60.0, "")),
        ),
        (
            "polished-away",
            "polishing all of the part after the rim was finished, which takes its colour off",
            false,
            format!("{DOME}{}[[step]]\npreparation = \"polish\"\n", bath(30.0, rim)),
        ),
    ];
    let rows = cases
        .into_iter()
        .map(|(key, what, should, text)| {
            let plan = planned(&engine, &text);
            let told = |feasible: bool| if feasible { "planned" } else { "refused" }.to_owned();
            Row {
                key: format!("plan-misses/{key}"),
                what: what.to_owned(),
                source: "none".to_owned(),
                status: "law".to_owned(),
                expected: told(should),
                ours: told(plan.feasible),
                miss: f64::from(u8::from(plan.feasible != should)),
                tolerance: 0.0,
                unit: "plans".to_owned(),
                why: None,
            }
        })
        .collect();
    record("plan-misses", rows);
}
