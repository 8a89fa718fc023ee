//! The chamber and the log of loads: pictures come where they are asked for, and one clear refusal for what cannot be read.

#![expect(clippy::unwrap_used, reason = "a test")]

use desk::Desk;
use serde_json::{Value, from_str, json};

const BELLS: [(&str, &str); 4] = [
    ("loads.toml", include_str!("../../../examples/bells/loads.toml")),
    ("recipe-gold-dark.toml", include_str!("../../../examples/bells/recipe-gold-dark.toml")),
    ("workshop.toml", include_str!("../../../examples/bells/workshop.toml")),
    ("steel-dome.toml", include_str!("../../../examples/bells/steel-dome.toml")),
];

fn files() -> Value {
    BELLS.iter().map(|(name, text)| ((*name).to_owned(), json!(text))).collect()
}

fn ask(question: &str, request: &Value) -> Result<Value, desk::Refusal> {
    let desk = Desk::open().unwrap();
    desk.ask(question, &request.to_string(), &mut |_, _| ()).map(|text| from_str(&text).unwrap())
}

#[test]
fn loads_are_explained_with_a_picture_where_one_is_asked_for() {
    let told = ask("correct", &json!({ "loads": BELLS[0].1, "files": files(), "picture": true })).unwrap();
    assert_eq!(told["loads"].as_array().unwrap().len(), 3);
    assert_eq!(told["loads"][2]["causes"][0]["id"], "thin");
    let svg = told["svg"].as_str().unwrap();
    for part in ["load 3", "fails a* b*", "Next load", "wanted: deep blue"] {
        assert!(svg.contains(part), "{part}");
    }
    let plain = ask("correct", &json!({ "loads": BELLS[0].1, "files": files() })).unwrap();
    assert!(plain.get("svg").is_none());
    assert_eq!(plain["next"], told["next"]);
}

#[test]
fn a_log_that_cannot_be_read_says_where() {
    let line = ask("correct", &json!({ "loads": "schema = 1\n[[load]]\nargon = 3\n" })).unwrap_err();
    assert_eq!((line.field.as_str(), line.line), ("load[1].argon", Some(3)));
    assert!(line.error.contains("argon_sccm"), "{line}");
    let recipe = ask("correct", &json!({ "loads": BELLS[0].1 })).unwrap_err();
    assert!(recipe.error.contains("recipe-gold-dark.toml"), "{recipe}");
    let bare = ask("correct", &json!({ "loads": "schema = 1\n[[load]]\n" })).unwrap_err();
    assert!(bare.error.contains("witness"), "{bare}");
}

#[test]
fn a_plan_draws_the_chamber_after_its_steps() {
    let request = json!({ "recipe": BELLS[1].1, "files": files(), "picture": true });
    let plan = ask("plan", &request).unwrap();
    let pictures: Vec<&str> = plan["svg"].as_array().unwrap().iter().map(|p| p.as_str().unwrap()).collect();
    let coated = plan["steps"].as_array().unwrap().iter().filter(|s| !s["chamber"].is_null()).count();
    assert_eq!((coated, pictures.len()), (2, 4));
    let (steps, chambers) = pictures.split_at(2);
    assert!(steps.iter().all(|p| p.contains("time, ") && !p.contains("from above")));
    assert!(chambers.iter().all(|p| p.contains("The chamber from above") && p.contains("The load")));
    // The nitride has a reading of its gas, the dark nitride has none.
    assert!(chambers[0].contains("The reactive gas") && !chambers[1].contains("The reactive gas"));
}
