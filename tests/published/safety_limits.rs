//! Limits for people on either side, as a plan's cautions tell them.

use huewright::Engine;
use huewright::plan::Plan;
use huewright_tests::accuracy::{Row, record};
use huewright_tests::plans::{caution_ids, done, last_route, refused};
use huewright_tests::tables::read;

/// Anodising in the sulfate jar with a supply of this kind.
fn bath(metal: &str, supply: &str, volts: f64, more: &str) -> String {
    let kind = if supply == "smooth" { "regulated" } else { "rectified" };
    format!(
        "schema = 1\n[part]\nmetal = \"{metal}\"\n{more}\n[part.shape]\nkind = \"sphere\"\ndiameter_mm = 20\n\
         [[bath]]\nname = \"jar\"\nelectrolyte = \"ammonium-sulfate\"\npercent = 1\n\
         [[anodiser]]\nname = \"supply\"\nkind = \"{kind}\"\nisolated = true\nmax_voltage_v = 100\n\
         max_current_a = 1\n[[step]]\nroute = \"anodise\"\nvoltage_v = {volts}\n"
    )
}

fn count(missed: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a small count")]
    let count = missed as f64;
    count
}

#[test]
fn touch_limits_warn_above_and_not_below() {
    let engine = Engine::new().unwrap();
    let rows = read("published/safety-limits/voltage.csv")
        .iter()
        .map(|r| {
            let (supply, crest) = (r.text("supply"), r.number("crest_v"));
            let plan = done(&engine, &bath("titanium", supply, crest, ""));
            let ids = caution_ids(last_route(&plan));
            let (must, must_not) = (r.words("must"), r.words("must_not"));
            for id in must.iter().chain(&must_not) {
                assert!(engine.library().cautions().iter().any(|c| c.id == *id), "no caution '{id}'");
            }
            let lacking: Vec<&String> = must.iter().filter(|id| !ids.contains(&id.as_str())).collect();
            let idle: Vec<&String> = must_not.iter().filter(|id| ids.contains(&id.as_str())).collect();
            Row {
                key: format!("safety-limits/{}-{supply}-{crest:05.1}", r.text("id")),
                what: format!("cautions of a bath at {crest} V, {supply} supply"),
                source: r.text("source").to_owned(),
                status: r.text("status").to_owned(),
                expected: format!("{}; not {}", must.join(", "), must_not.join(", ")),
                ours: if lacking.is_empty() && idle.is_empty() {
                    "these, and none of those".to_owned()
                } else {
                    format!("lacks {lacking:?}, has {idle:?}")
                },
                miss: count(lacking.len() + idle.len()),
                tolerance: 0.0,
                unit: "cautions".to_owned(),
                why: None,
            }
        })
        .collect();
    record("safety-limits", rows);
}

/// The plan that a row asks for.
fn asked(engine: &Engine, ask: &str) -> Plan {
    let worn = "use = [\"skin\"]";
    match ask {
        "bath" => done(engine, &bath("titanium", "smooth", 20.0, "")),
        "food" => done(engine, &bath("titanium-grade-5", "smooth", 20.0, "use = [\"food\"]")),
        "skin" | "food-steel" => {
            let used = if ask == "skin" { worn } else { "use = [\"food\"]" };
            done(
                engine,
                &format!(
                    "schema = 1\n[part]\nmetal = \"stainless-austenitic\"\n{used}\n[part.shape]\nkind = \"sphere\"\n\
                     diameter_mm = 20\n[[oven]]\nname = \"kiln\"\nmax_temperature_c = 600\n[[step]]\nroute = \"heat\"\n\
                     temperature_c = 450\nminutes = 60\n"
                ),
            )
        }
        "etch" => done(
            engine,
            "schema = 1\nlicensed_hydrofluoric = true\n[start.base]\nmaterial = \"titanium\"\n[[step]]\n\
             preparation = \"etch\"\nwith = \"hydrofluoric-nitric\"\n",
        ),
        other => panic!("nobody knows how to ask '{other}'"),
    }
}

#[test]
fn cautions_tell_the_published_numbers() {
    let engine = Engine::new().unwrap();
    let rows = read("published/safety-limits/words.csv")
        .iter()
        .map(|r| {
            let plan = asked(&engine, r.text("ask"));
            let id = r.text("caution");
            let found = plan.cautions.iter().find(|c| c.id == id);
            let told = found.map_or(String::new(), |c| format!("{} ({})", c.text, c.source));
            let numbers = r.words("numbers");
            let lacking: Vec<&String> = numbers.iter().filter(|n| !told.contains(n.as_str())).collect();
            Row {
                key: format!("safety-limits-words/{}-{id}", r.text("id")),
                what: format!("numbers in the caution '{id}' of a plan ({})", r.text("ask")),
                source: r.text("source").to_owned(),
                status: r.text("status").to_owned(),
                expected: numbers.join(", "),
                ours: if lacking.is_empty() { "all told".to_owned() } else { format!("lacks {lacking:?}") },
                miss: count(lacking.len()),
                tolerance: 0.0,
                unit: "numbers".to_owned(),
                why: None,
            }
        })
        .collect();
    record("safety-limits-words", rows);
}

fn ids_of(plan: &Plan) -> Vec<&str> {
    plan.cautions.iter().map(|c| c.id.as_str()).collect()
}

/// X18, X19: what is warned of follows metal and use, and does not stand where it does not belong.
#[test]
fn metal_and_use_decide() {
    let engine = Engine::new().unwrap();
    let pure = done(&engine, &bath("titanium", "smooth", 20.0, "use = [\"food\", \"skin\"]"));
    assert!(ids_of(&pure).contains(&"food-contact"));
    for id in ["vanadium-food", "nickel-skin", "nickel-skin-test"] {
        assert!(!ids_of(&pure).contains(&id), "{id}: {:?}", ids_of(&pure));
    }
    // Grade 5 is told of its vanadium for food, and stainless of its nickel on skin, also where no use is named.
    let plain = done(&engine, &bath("titanium-grade-5", "smooth", 20.0, ""));
    assert!(ids_of(&plain).contains(&"vanadium-food") && !ids_of(&plain).contains(&"food-contact"));
    let child = done(&engine, &bath("titanium", "smooth", 20.0, "use = [\"child\"]"));
    assert!(ids_of(&child).contains(&"child-small-parts"));
}

/// X01: extra-low voltage asks for isolation whatever the volts; a supply that is not isolated is refused.
#[test]
fn isolation_is_asked_for_at_every_voltage() {
    let engine = Engine::new().unwrap();
    for volts in [5.0, 40.0, 90.0] {
        let plan = done(&engine, &bath("titanium", "smooth", volts, ""));
        assert!(caution_ids(last_route(&plan)).contains(&"isolation"), "{volts} V");
        let live = bath("titanium", "smooth", volts, "").replace("isolated = true", "isolated = false");
        let why = refused(&engine, &live);
        assert!(why.limit == "supply" && why.words.contains("not isolated"), "{why:?}");
    }
}

/// Two cautions of our own data that ask for what a step knows: a brush in the hand (common practice), and more hydrogen
/// than still air can thin (limits published, the threshold ours).
#[test]
fn a_brush_and_much_hydrogen_are_warned_of() {
    let engine = Engine::new().unwrap();
    let brush = bath("titanium", "smooth", 20.0, "") + "[step.brush]\ncontact_mm2 = 40\nspeed_mm_per_s = 1\n";
    // A hundred spheres of 60 mm.
    let rack = bath("titanium", "smooth", 100.0, "count = 100")
        .replace("diameter_mm = 20", "diameter_mm = 60")
        .replace("max_current_a = 1", "max_current_a = 300");
    let ml = last_route(&done(&engine, &rack)).sizing.as_ref().unwrap().hydrogen_ml;
    assert!(ml > 100.0, "{ml}");
    let rows = [("brush-live", "a brush step", brush), ("hydrogen-much", "a rack that gives 500 mL of hydrogen", rack)]
        .map(|(id, what, text)| {
            assert!(engine.library().cautions().iter().any(|c| c.id == id), "no caution '{id}'");
            let told = caution_ids(last_route(&done(&engine, &text))).contains(&id);
            Row {
                key: format!("safety-limits-own/{id}"),
                what: format!("caution '{id}' of {what}"),
                source: "data/cautions.toml".to_owned(),
                status: "law".to_owned(),
                expected: "told".to_owned(),
                ours: if told { "told" } else { "not told" }.to_owned(),
                miss: if told { 0.0 } else { 1.0 },
                tolerance: 0.0,
                unit: "cautions".to_owned(),
                why: None,
            }
        });
    record("safety-limits-own", rows.into());
}
