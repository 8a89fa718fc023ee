//! What a plan refuses for other reasons than a number: each names its limit, and what it advises works.

use huewright::Engine;
use huewright::plan::Plan;
use huewright_tests::plans::{done, planned, recipe, refused, top_nm};

/// A sphere of a metal with jars, supply, kiln and steps.
fn bench(metal: &str, start: &str, steps: &str) -> String {
    format!(
        "schema = 1\n[part]\nmetal = \"{metal}\"\n[part.shape]\nkind = \"sphere\"\ndiameter_mm = 20\n{start}\n\
         [[bath]]\nname = \"salt jar\"\nelectrolyte = \"sodium-chloride\"\npercent = 1\n\
         [[bath]]\nname = \"jar\"\nelectrolyte = \"citric-acid\"\npercent = 1\n\
         [[anodiser]]\nname = \"supply\"\nkind = \"regulated\"\nisolated = true\nmax_voltage_v = 110\n\
         max_current_a = 3\n[[oven]]\nname = \"kiln\"\nmax_temperature_c = 700\n\
         [[coater]]\nname = \"magnetron\"\nkind = \"sputter\"\nfilms = [\"tin\", \"titania-anodic\"]\n\
         thinnest_nm = 10\n{steps}\n"
    )
}

const AT_30: &str = "[[step]]\nroute = \"anodise\"\nbath = \"jar\"\nvoltage_v = 30\n";

#[test]
fn an_unfit_bath_is_refused_and_a_fit_one_named() {
    let engine = Engine::new().unwrap();
    let salt = bench("titanium", "", &AT_30.replace("\"jar\"", "\"salt jar\""));
    let why = refused(&engine, &salt);
    assert_eq!((why.limit, why.step), ("bath", 1));
    assert!(why.words.contains("chloride pits"), "{why:?}");
    assert!(why.nearest.unwrap().contains("citric acid"));
    done(&engine, &bench("titanium", "", AT_30));
    // Every bath that the library calls unfit.
    for unfit in ["hydrochloric-acid", "nitric-acid", "hydrofluoric-acid", "sodium-hydroxide"] {
        let why = refused(&engine, &salt.replace("sodium-chloride", unfit));
        assert_eq!(why.limit, "bath", "{unfit}");
    }
}

#[test]
fn covered_metal_is_refused_until_it_is_stripped() {
    let engine = Engine::new().unwrap();
    let covers = [
        "[[start.film]]\nmaterial = \"tin\"\nthickness_nm = 100\n",
        "[[start.over]]\nmaterial = \"lacquer\"\nthickness_um = 20\n",
        "[[start.film]]\nmaterial = \"titania-anodic\"\nthickness_nm = 20\n[[start.film]]\nmaterial = \"tin\"\nthickness_nm = 50\n",
    ];
    for cover in covers {
        let start = format!("[start.base]\nmaterial = \"titanium\"\n{cover}");
        let why = refused(&engine, &bench("titanium", &start, AT_30));
        assert_eq!(why.limit, "metal", "{why:?}");
        assert!(why.nearest.as_ref().unwrap().contains("preparation = \"strip\""), "{why:?}");
        let plan = done(&engine, &bench("titanium", &start, &format!("[[step]]\npreparation = \"strip\"\n{AT_30}")));
        let finish = &plan.areas[0].made.finish;
        assert!(finish["over"].is_null() && finish["film"].as_array().unwrap().len() == 1, "{finish}");
    }
    // Its own film is no cover.
    let own =
        "[start.base]\nmaterial = \"titanium\"\n[[start.film]]\nmaterial = \"titania-anodic\"\nthickness_nm = 20\n";
    done(&engine, &bench("titanium", own, AT_30));
}

#[test]
fn a_metal_without_a_film_of_its_own_is_refused() {
    let engine = Engine::new().unwrap();
    for metal in ["copper", "stainless-austenitic", "carbon-steel"] {
        let why = refused(&engine, &bench(metal, "", AT_30));
        assert!(why.limit == "metal" && why.words.contains(metal), "{why:?}");
    }
    // No rate that could be trusted: heat is refused, and a coupon advised.
    for metal in ["niobium", "tantalum", "zirconium"] {
        let heat = "[[step]]\nroute = \"heat\"\ntemperature_c = 500\nminutes = 60\n";
        let why = refused(&engine, &bench(metal, "", heat));
        assert!(why.limit == "law" && why.nearest.unwrap().contains("coupon"), "{metal}");
    }
}

#[test]
fn hydrofluoric_acid_needs_a_declared_licence_and_has_an_alternative() {
    let engine = Engine::new().unwrap();
    let etch = |with: &str| format!("[[step]]\npreparation = \"etch\"\n{with}\n{AT_30}");
    let acid = bench("titanium", "", &etch("with = \"hydrofluoric-nitric\""));
    let why = refused(&engine, &acid);
    assert_eq!((why.limit, why.step), ("licence", 1));
    assert!(why.nearest.as_ref().unwrap().contains("pumice"), "{why:?}");
    // What it advises, and leaving the means out, work without a licence and without the acid.
    for with in ["with = \"pumice\"", ""] {
        let plan = done(&engine, &bench("titanium", "", &etch(with)));
        assert!(plan.steps[0].todo.iter().any(|d| d.contains("pumice")), "{:?}", plan.steps[0].todo);
        assert!(!plan.cautions.iter().any(|c| c.id.starts_with("hydrofluoric")), "{with}");
    }
    // With a licence it is planned, warned of, and the way without it still told.
    let licensed = format!("licensed_hydrofluoric = true\n{acid}");
    let plan = done(&engine, &licensed);
    assert!(plan.steps[0].todo.iter().any(|d| d.contains("Without it:") && d.contains("pumice")));
    let ids: Vec<&str> = plan.steps[0].cautions.iter().map(|c| c.id.as_str()).collect();
    for id in ["hydrofluoric-licence", "hydrofluoric-burn", "hydrofluoric-delay", "hydrofluoric-air"] {
        assert!(ids.contains(&id), "{id}: {ids:?}");
    }
    // The other means that asks for a licence.
    let molten = bench("titanium", "", "[[step]]\npreparation = \"strip\"\nwith = \"molten-alkali\"\n");
    let why = refused(&engine, &molten);
    assert!(why.limit == "licence" && why.nearest.unwrap().contains("abrasive"));
}

#[test]
fn a_film_that_is_there_is_neither_thinned_nor_grown_by_fewer_volts() {
    let engine = Engine::new().unwrap();
    let two = |second: f64| format!("{AT_30}[[step]]\nroute = \"anodise\"\nbath = \"jar\"\nvoltage_v = {second}\n");
    for second in [5.0, 20.0, 29.0, 30.0] {
        let why = refused(&engine, &bench("titanium", "", &two(second)));
        assert_eq!((why.limit, why.step), ("order", 2), "{second} V: {why:?}");
        assert!(why.nearest.as_ref().unwrap().starts_with("voltage_v above 30."), "{why:?}");
    }
    // A volt more does grow, and stripping works at fewer volts.
    let more = done(&engine, &bench("titanium", "", &two(31.0)));
    assert!((top_nm(&more, "whole") - (4.0 + 1.95 * 31.0)).abs() < 0.05, "{}", top_nm(&more, "whole"));
    let anew = format!(
        "{AT_30}[[step]]\npreparation = \"strip\"\n[[step]]\nroute = \"anodise\"\nbath = \"jar\"\nvoltage_v = 20\n"
    );
    let anew = done(&engine, &bench("titanium", "", &anew));
    assert!((top_nm(&anew, "whole") - (4.0 + 1.95 * 20.0)).abs() < 0.05, "{}", top_nm(&anew, "whole"));
}

/// Heat that needs more of a film than there is.
#[test]
fn heat_does_not_use_up_more_film_than_there_is() {
    let engine = Engine::new().unwrap();
    let heat = |nm: f64| {
        let start = format!(
            "[start.base]\nmaterial = \"stainless-austenitic\"\n[[start.film]]\nmaterial = \"tin\"\nthickness_nm = {nm}\n"
        );
        planned(
            &engine,
            &bench("stainless-austenitic", &start, "[[step]]\nroute = \"heat\"\ntemperature_c = 480\nminutes = 60\n"),
        )
    };
    let thin = heat(20.0);
    assert!(!thin.feasible && thin.why_not[0].limit == "metal", "{:?}", thin.why_not);
    let thick = heat(600.0);
    assert!(thick.feasible, "{:?}", thick.why_not);
    // What the oxide took is gone from the nitride: 0.56 nm for each nm.
    let films = thick.areas[0].made.finish["film"].as_array().unwrap().clone();
    let nm = |i: usize| films[i]["thickness_nm"].as_f64().unwrap();
    assert!((600.0 - nm(0) - 0.56 * nm(1)).abs() < 1e-9, "{films:?}");
}

fn fault(engine: &Engine, text: &str) -> String {
    let recipe = recipe(engine, text);
    let request = huewright::plan::PlanRequest { recipe: &recipe, workshop: None, part: None, beside: None };
    huewright::plan::plan(engine, &request, &huewright::Conditions::default()).unwrap_err().to_string()
}

#[test]
fn what_is_not_clear_is_an_error_that_says_what_to_write() {
    let engine = Engine::new().unwrap();
    let which = fault(&engine, &bench("titanium", "", &AT_30.replace("bath = \"jar\"\n", "")));
    assert!(which.contains("'salt jar', 'jar'") && which.contains("bath = "), "{which}");
    let unknown = fault(&engine, &bench("titanium", "", &AT_30.replace("\"jar\"", "\"jug\"")));
    assert!(unknown.contains("'jug'") && unknown.contains("'jar'"), "{unknown}");
    let nothing = fault(&engine, "schema = 1\n[[step]]\npreparation = \"clean\"\n");
    assert!(nothing.contains("[start.base]") && nothing.contains("part"), "{nothing}");
}

/// A plan that cannot be done ends with the step before, and tells what is there so far.
#[test]
fn a_plan_ends_at_its_limit() {
    let engine = Engine::new().unwrap();
    let steps = format!(
        "{AT_30}[[step]]\nroute = \"anodise\"\nbath = \"jar\"\nvoltage_v = 200\n[[step]]\npreparation = \"clean\"\n"
    );
    let plan: Plan = planned(&engine, &bench("titanium", "", &steps));
    assert!(!plan.feasible && plan.why_not[0].step == 2 && plan.steps.len() == 1);
    assert!((top_nm(&plan, "whole") - 62.5).abs() < 0.05, "{}", top_nm(&plan, "whole"));
}

/// A stop that is met before anything flows, and volts that no stack of batteries gives: nothing would grow.
#[test]
fn a_step_that_would_end_as_it_begins_is_refused() {
    let engine = Engine::new().unwrap();
    let stop = |amperes: &str| bench("titanium", "", &format!("{AT_30}{amperes}\n"));
    let why = refused(&engine, &stop("stop_current_a = 5"));
    assert_eq!(why.limit, "supply", "{why:?}");
    let nearest = why.nearest.unwrap();
    let plan = done(&engine, &stop(&nearest));
    assert!((top_nm(&plan, "whole") - 62.5).abs() < 0.3, "{nearest}: {} nm", top_nm(&plan, "whole"));
    let none = bench("titanium", "", &AT_30.replace("30", "4")).replace(
        "kind = \"regulated\"\nisolated = true\nmax_voltage_v = 110",
        "kind = \"batteries\"\nstep_v = 9\nmax_voltage_v = 90",
    );
    let why = refused(&engine, &none);
    assert!(why.limit == "supply" && why.nearest.as_ref().unwrap().contains("voltage_v = 9"), "{why:?}");
}
