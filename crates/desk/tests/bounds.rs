//! Small requests that asked for endless work, or were answered as if they made sense: found by a breaker, refused since.

#![expect(clippy::unwrap_used, reason = "a test")]

use desk::Desk;
use serde_json::{Value, from_str, json};

fn ask(question: &str, request: &Value) -> Result<Value, String> {
    let desk = Desk::open().unwrap();
    desk.ask(question, &request.to_string(), &mut |_, _| ())
        .map(|text| from_str(&text).unwrap())
        .map_err(|refusal| refusal.error)
}

fn ribbon(change: &Value) -> Result<Value, String> {
    let mut request = json!({
        "finish": { "base": { "material": "titanium" }, "film": [{ "material": "titania-anodic", "thickness_nm": 40 }] },
        "turn": { "setting": "thickness_nm", "film": 0 }, "from": 0, "to": 200, "points": 11
    });
    for (key, value) in change.as_object().unwrap() {
        request[key] = value.clone();
    }
    ask("ribbon", &request)
}

#[test]
fn a_ribbon_has_an_end() {
    assert!(ribbon(&json!({})).is_ok());
    let tilts: Vec<f64> = (0..92).map(|i| f64::from(i) * 0.5).collect();
    assert!(ribbon(&json!({ "tilts_deg": tilts })).unwrap_err().contains("at most 91 tilts"));
    let many = json!({ "tilts_deg": (0..40).collect::<Vec<i32>>(), "points": 5000 });
    assert!(ribbon(&many).unwrap_err().contains("50000 colours"));
}

#[test]
fn a_ribbon_by_thickness_stays_among_films() {
    for (from, to) in [(-100.0, 100.0), (0.0, 1e9), (-1e300, 1e300), (-1.7e308, 1.7e308)] {
        let refused = ribbon(&json!({ "from": from, "to": to })).unwrap_err();
        assert!(refused.contains("between 0 and 20000 nm"), "{refused}");
    }
    let nowhere = ribbon(&json!({ "turn": { "setting": "thickness_nm", "film": u64::MAX } })).unwrap_err();
    assert!(nowhere.contains("does not exist"), "{nowhere}");
}

#[test]
fn a_bath_that_nobody_knows_is_no_bath() {
    for bath in ["no such acid", ""] {
        let turn = json!({ "setting": "voltage_v", "electrolyte": bath });
        let bare = json!({ "base": { "material": "titanium" } });
        let refused = ribbon(&json!({ "finish": bare, "turn": turn, "to": 60 })).unwrap_err();
        assert!(refused.contains("electrolyte") && refused.contains("citric-acid"), "{refused}");
    }
}

#[test]
fn the_step_of_a_way_is_checked() {
    let way = |step: Value, wanted: &str| {
        ask(
            "way-ribbon",
            &json!({
                "start": { "base": { "material": "titanium" } },
                "finish": { "base": { "material": "titanium" }, "film": [{ "material": "titania-anodic", "thickness_nm": 48 }] },
                "step": step, "wanted": wanted
            }),
        )
    };
    assert!(way(json!({ "route": "anodise", "settings": { "voltage_v": 22.6 } }), "#27509b").is_ok());
    for (step, wanted, words) in [
        (json!({ "route": "anodise", "settings": { "voltage_v": -1 } }), "#27509b", "-1 V was asked"),
        (json!({ "route": "fly" }), "#27509b", "'fly' is not known"),
        (json!(17), "#27509b", "'nothing' is not known"),
        (json!({ "route": "heat", "settings": {} }), "nonsense", "#rrggbb"),
    ] {
        let refused = way(step, wanted).unwrap_err();
        assert!(refused.contains(words), "{refused}");
    }
}

#[test]
fn a_spectrum_with_a_hole_is_no_colour() {
    let spectrum = |rows: &[(f64, f64)]| {
        let text: String = rows.iter().map(|(w, r)| format!("{w},{r}\n")).collect();
        let files = json!({ "s.csv": format!("wavelength_nm,reflectance\n{text}") });
        ask("wanted", &json!({ "colour": "s.csv", "files": files }))
    };
    let even = |step: usize| (380..=780).step_by(step).map(|w| (f64::from(w), 0.4)).collect::<Vec<_>>();
    let fine = spectrum(&even(10)).unwrap();
    assert!(!fine["notes"].to_string().contains("no reading"), "{fine}");
    assert!(spectrum(&even(40)).unwrap()["notes"].to_string().contains("ASTM E308"));
    for rows in
        [vec![(380.0, 0.1), (780.0, 0.9)], even(10).into_iter().filter(|(w, _)| *w < 460.0 || *w > 640.0).collect()]
    {
        let refused = spectrum(&rows).unwrap_err();
        assert!(refused.contains("has no reading between"), "{refused}");
    }
}

#[test]
fn many_uneven_films_are_refused_or_answered() {
    let look = |films: usize| {
        let film = json!({ "material": "titania-anodic", "thickness_nm": 20, "spread": 0.3 });
        ask(
            "look",
            &json!({ "finish": { "base": { "material": "titanium", "texture": "satin" }, "film": vec![film; films] } }),
        )
    };
    assert!(look(12).is_ok());
    assert!(look(61).unwrap_err().contains("at most 60"));
}

#[test]
fn what_is_too_long_to_read_is_not_echoed() {
    let refused = ask("wanted", &json!({ "colour": "x".repeat(2_000_000) })).unwrap_err();
    assert!(refused.chars().count() < 1_000 && refused.contains("trade name"), "{refused}");
}
