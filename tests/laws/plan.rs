//! Plans as a whole: areas and their order, supplies that are not smooth, heat that goes on, films that are taken off, and
//! the recipes that `match` writes.

use huewright::matching::{Match, MatchRequest, match_colour};
use huewright::plan::{AreaPlan, Plan, PlanRequest, plan};
use huewright::{Conditions, Engine, parse_target};
use huewright_tests::accuracy::{Row, record};
use huewright_tests::chance::Chance;
use huewright_tests::plans::{bells, caution_ids, done, last_route, planned, recipe, refused, top_nm};
use library::{Library, WorkshopFile};

fn example(name: &str) -> String {
    std::fs::read_to_string(bells().join(name)).unwrap()
}

fn area<'p>(plan: &'p Plan, name: &str) -> &'p AreaPlan {
    plan.areas.iter().find(|a| a.name == name).unwrap()
}

#[test]
fn the_example_recipes_are_planned() {
    let engine = Engine::new().unwrap();
    let mut found = 0;
    for entry in std::fs::read_dir(bells()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if !name.starts_with("recipe-") {
            continue;
        }
        found += 1;
        if name == "recipe-gold-dark-arc.toml" {
            // The arc lays nothing as thin as the dark nitride must be.
            let why = refused(&engine, &example(&name));
            assert_eq!((why.step, why.nearest.as_deref()), (3, Some("thickness_nm = 500")), "{}", why.words);
            continue;
        }
        let plan = done(&engine, &example(&name));
        assert!(plan.part.is_some() && !plan.steps.is_empty() && !plan.sources.is_empty(), "{name}");
        let mut shares = 0.0;
        for a in &plan.areas {
            shares += a.share;
            let (chance, pair, alike) = (a.chance.unwrap(), a.chance_match.unwrap(), a.chance_alike.unwrap());
            assert!((0.0..=1.0).contains(&chance) && alike <= pair + 1e-12 && alike <= chance + 1e-12, "{name}");
            let band = a.thickness_nm.unwrap();
            assert!(band.low <= band.median && band.median <= band.high, "{name}: {band:?}");
        }
        assert!((shares - 1.0).abs() < 1e-9, "{name}");
        // Each step says what to do; each route says how long, and when to stop: in a coater the shutter time says both.
        for step in &plan.steps {
            assert!(!step.todo.is_empty() && !step.title.is_empty(), "{name}");
            let ends = step.stop.is_some() || matches!(step.route.as_str(), "sputter" | "arc");
            assert_eq!(step.kind == "route", ends && step.seconds.is_some(), "{name}: {}", step.title);
        }
        assert_eq!(plan.steps.iter().flat_map(|s| &s.set).filter(|s| s.tightest).count(), 1, "{name}");
    }
    assert!(found >= 6);
}

#[test]
fn a_rim_is_unchanged_by_a_later_lower_voltage() {
    let engine = Engine::new().unwrap();
    let plan = done(&engine, &example("recipe-two-colours.toml"));
    let rim = area(&plan, "rim");
    let first = example("recipe-two-colours.toml");
    let first = done(&engine, first.split("[[step]]\npreparation = \"polish\"").next().unwrap());
    assert!((top_nm(&plan, "rim") - top_nm(&first, "rim")).abs() < 1e-9);
    assert_eq!(rim.made.shown.name, "gold");
    assert_eq!(area(&plan, "crown").made.shown.name, "deep blue");
    assert!((top_nm(&plan, "crown") - (4.0 + 1.95 * 22.0)).abs() < 0.01);
}

/// Two areas of the dome, the rim finished on its own at `rim_v`, then all of it at `all_v`.
fn rim_then_all(rim_v: f64, all_v: f64) -> String {
    format!(
        "schema = 1\nworkshop = \"workshop.toml\"\npart = \"dome.toml\"\n[[area]]\nname = \"rim\"\nshare = 0.3\n\
         [[area]]\nname = \"crown\"\nshare = 0.7\n[[step]]\nroute = \"anodise\"\nbath = \"sulfate jar\"\n\
         voltage_v = {rim_v}\nareas = [\"rim\"]\n[[step]]\nroute = \"anodise\"\nbath = \"sulfate jar\"\nvoltage_v = {all_v}\n"
    )
}

#[test]
fn an_overgrown_rim_is_told_and_the_other_order_works() {
    let engine = Engine::new().unwrap();
    let wrong = planned(&engine, &rim_then_all(22.0, 56.0));
    assert!(!wrong.feasible && wrong.steps.len() == 2, "the steps are told all the same");
    let why = &wrong.why_not[0];
    assert_eq!((why.limit, why.step), ("order", 2));
    assert!(why.words.contains("'rim'") && why.words.contains("step 1"), "{why:?}");
    assert!(why.nearest.as_ref().unwrap().contains("areas = [...]"), "{why:?}");
    // What it advises: keep the rim out.
    let kept = rim_then_all(22.0, 56.0) + "areas = [\"crown\"]\n";
    let kept = done(&engine, &kept);
    assert!((top_nm(&kept, "rim") - (4.0 + 1.95 * 22.0)).abs() < 0.01);
    // And the order that needs no mask, over random pairs at least a tenth apart.
    let mut chance = Chance::new(31);
    for _ in 0..10 {
        let high = chance.between(20.0, 105.0);
        let low = high * chance.between(0.2, 0.9);
        let plan = done(&engine, &rim_then_all(high, low));
        let grown = top_nm(&plan, "rim") - (4.0 + 1.95 * high);
        assert!(grown.abs() < 0.5, "{grown} nm at {low:.1} V after {high:.1} V");
        assert!((top_nm(&plan, "crown") - (4.0 + 1.95 * low)).abs() < 0.05, "{low} V");
    }
}

#[test]
fn batteries_come_in_steps() {
    let engine = Engine::new().unwrap();
    let text = |volts: f64| {
        format!(
            "schema = 1\n[part]\nmetal = \"titanium\"\n[part.shape]\nkind = \"sphere\"\ndiameter_mm = 20\n[[bath]]\n\
             name = \"jar\"\nelectrolyte = \"citric-acid\"\ndose = \"1 tsp in 1 cup\"\n[[anodiser]]\nname = \"batteries\"\n\
             kind = \"batteries\"\nmax_voltage_v = 90\nstep_v = 9\nmax_current_a = 0.5\n[[step]]\nroute = \"anodise\"\n\
             voltage_v = {volts}\n"
        )
    };
    // Whole stacks are planned; what lies between two is refused, and both stacks are named.
    for given in [18.0, 27.0, 90.0] {
        let plan = done(&engine, &text(given));
        assert!((last_route(&plan).set[0].value - given).abs() < 1e-9);
        assert!((top_nm(&plan, "whole") - (4.0 + 1.95 * given)).abs() < 0.05);
    }
    for (wished, below, above) in [(25.0, 18, 27), (22.0, 18, 27), (88.0, 81, 90)] {
        let why = refused(&engine, &text(wished));
        let nearest = why.nearest.clone().unwrap();
        assert_eq!(why.limit, "supply");
        for stack in [below, above] {
            assert!(nearest.contains(&format!("voltage_v = {stack}")), "{why:?}");
            done(&engine, &text(f64::from(stack)));
        }
    }
}

#[test]
fn an_unfiltered_supply_reads_less_than_the_film_sees() {
    let engine = Engine::new().unwrap();
    let text = |more: &str| {
        format!(
            "schema = 1\n[part]\nmetal = \"titanium\"\n[part.shape]\nkind = \"sphere\"\ndiameter_mm = 20\n[[bath]]\n\
             name = \"jar\"\nelectrolyte = \"citric-acid\"\npercent = 1\n[[anodiser]]\nname = \"variac\"\n\
             kind = \"rectified\"\nisolated = true\nmax_voltage_v = 100\nmax_current_a = 1\n{more}\n[[step]]\n\
             route = \"anodise\"\nvoltage_v = 62.8\n"
        )
    };
    let two_over_pi = 2.0 / std::f64::consts::PI;
    for (more, share) in [
        ("", two_over_pi),
        ("ripple = \"full-wave\"\nmeter = \"average\"", two_over_pi),
        ("ripple = \"full-wave\"\nmeter = \"rms\"", 0.5f64.sqrt()),
        ("ripple = \"full-wave\"\nmeter = \"peak\"", 1.0),
        ("ripple = \"half-wave\"", std::f64::consts::FRAC_1_PI),
        ("ripple = \"half-wave\"\nmeter = \"rms\"", 0.5),
    ] {
        let plan = done(&engine, &text(more));
        let step = last_route(&plan);
        let reading = format!("{:.1} V", 62.8 * share);
        assert!(
            step.todo.iter().any(|d| d.contains("Set the meter to") && d.contains(&reading)),
            "{reading}: {:?}",
            step.todo
        );
        assert!(caution_ids(step).contains(&"ripple-dry"), "{more}: {:?}", caution_ids(step));
        // The film grows to the crest.
        assert!((top_nm(&plan, "whole") - (4.0 + 1.95 * 62.8)).abs() < 0.05, "{}", top_nm(&plan, "whole"));
    }
    // With a filter, as the person says, it is plain direct voltage.
    let smooth = done(&engine, &text("ripple = \"none\""));
    let step = last_route(&smooth);
    assert!(step.todo.iter().any(|d| d.contains("Set 62.8 V")), "{:?}", step.todo);
    assert!(!caution_ids(step).iter().any(|c| c.starts_with("ripple")));
}

#[test]
fn the_kiln_demo_lasts_and_carries_on() {
    let engine = Engine::new().unwrap();
    let plan = done(&engine, &example("recipe-kiln.toml"));
    let step = last_route(&plan);
    let lasts = step.lasts.as_ref().unwrap();
    assert!(lasts.seconds > 60.0, "{lasts:?}");
    assert_eq!(plan.areas[0].made.shown.name, "deep blue");
    // While it cools the oxide goes on: what the plan says, and what its trace holds.
    let words = step.watch.iter().find(|w| w.starts_with("While it cools")).unwrap();
    let numbers: Vec<f64> = words.split(' ').filter_map(|w| w.parse().ok()).collect();
    assert!(numbers[1] > numbers[0], "{words}");
    let trace = step.trace.as_ref().unwrap();
    let end = trace.time_s.last().unwrap() - 5.0 * 60.0;
    let held = trace.time_s.iter().rposition(|t| *t <= end + 1.0).unwrap();
    assert!(trace.thickness_nm.last().unwrap() > &trace.thickness_nm[held]);
    assert!((trace.temperature_c.iter().copied().fold(0.0, f64::max) - 488.0).abs() < 1e-9);
    // Slower cooling goes on for longer.
    let slow = done(&engine, &(example("recipe-kiln.toml") + "cool_minutes = 60\n"));
    assert!(top_nm(&slow, "whole") > top_nm(&plan, "whole"));
    // Carried on in a second heating, it grows as one law would: squares add up.
    let again = "\n[[step]]\nroute = \"heat\"\nmachine = \"kiln\"\ntemperature_c = 488\nminutes = 60\n";
    let twice = done(&engine, &(example("recipe-kiln.toml") + again));
    let (one, two) = (top_nm(&plan, "whole"), top_nm(&twice, "whole"));
    assert!((two / (one * 2f64.sqrt()) - 1.0).abs() < 1e-3, "{one} {two}");
}

#[test]
fn what_strips_takes_films_off_and_what_does_not_leaves_them() {
    let engine = Engine::new().unwrap();
    let library = engine.library();
    for p in library.preparations() {
        let text = format!(
            "schema = 1\nworkshop = \"workshop.toml\"\n[start.base]\nmaterial = \"titanium\"\ntexture = \"satin\"\n\
             [[start.film]]\nmaterial = \"titania-anodic\"\nthickness_nm = 60\n[[start.over]]\nmaterial = \"lacquer\"\n\
             thickness_um = 10\n[[step]]\npreparation = \"{}\"\n",
            p.id
        );
        let plan = done(&engine, &text);
        let finish = &plan.areas[0].made.finish;
        assert_eq!(top_nm(&plan, "whole") > 0.0, !p.strips, "{}: {finish}", p.id);
        assert_eq!(finish["over"].is_null(), p.strips, "{}: {finish}", p.id);
        let texture = p.texture.clone().unwrap_or_else(|| "satin".to_owned());
        assert_eq!(finish["base"]["texture"], texture.as_str(), "{}", p.id);
        // What it does and forbids is told.
        let notes = plan.steps[0].notes.join("; ");
        assert!(p.does.iter().all(|d| notes.contains(d)) && p.forbids.iter().all(|f| notes.contains(f)), "{}", p.id);
    }
}

/// Recipes of `match`, as they are saved, are planned; what comes out is what was foretold.
#[test]
fn recipes_of_match_come_out_as_foretold() {
    let engine = Engine::new().unwrap();
    let conditions = Conditions::default();
    // A bench of one machine for each route: the search over all of the bell workshop takes minutes.
    let bench = "schema = 1\n[[metal]]\nid = \"titanium\"\n[[metal]]\nid = \"stainless-austenitic\"\n[[bath]]\nname = \"jar\"\n\
                 electrolyte = \"ammonium-sulfate\"\npercent = 1\n[[anodiser]]\nname = \"supply\"\nkind = \"regulated\"\n\
                 isolated = true\nmax_voltage_v = 110\nmax_current_a = 3\n[[oven]]\nname = \"kiln\"\n\
                 max_temperature_c = 700\nrepeatability_c = 8\n[[coater]]\nname = \"magnetron\"\nkind = \"sputter\"\n\
                 films = [\"tin\"]\nthinnest_nm = 10\nthickest_nm = 400\nrepeatability = 0.06\n";
    let nothing = |_: &std::path::Path| Err(std::io::ErrorKind::NotFound.into());
    let shop = WorkshopFile::read("bench.toml", bench.as_bytes(), engine.library(), &nothing).unwrap();
    let (mut count, mut refused) = ([0, 0], Vec::new());
    let mut worst = [(0.0, "as foretold".to_owned()), (0.0, "as foretold".to_owned())];
    for colour in ["deep blue", "purple", "gold", "rose", "sky"] {
        let target = parse_target(&engine, colour, &conditions).unwrap();
        let request = MatchRequest { target, workshop: &shop, from: None };
        let found: Match = match_colour(&engine, &request, &conditions, |_, _| {}).unwrap();
        for way in found.ways.iter().filter(|w| w.feasible) {
            let text = way.recipe.as_ref().unwrap();
            let read = recipe(&engine, text);
            let request = PlanRequest { recipe: &read, workshop: None, part: None, beside: None };
            let plan = plan(&engine, &request, &conditions).unwrap_or_else(|e| panic!("{e}\n{text}"));
            let hot = usize::from(text.contains("route = \"heat\""));
            count[hot] += 1;
            if !plan.feasible {
                refused.push(format!("{colour}, {}: {}", way.title, plan.why_not[0].words));
                continue;
            }
            let films = |finish: &serde_json::Value| -> Vec<f64> {
                finish["film"].as_array().unwrap().iter().map(|f| f["thickness_nm"].as_f64().unwrap()).collect()
            };
            for (ours, foretold) in films(&plan.areas[0].made.finish).iter().zip(films(&way.finish)) {
                let off = (ours - foretold).abs();
                if off > worst[hot].0 {
                    worst[hot] = (off, format!("{ours:.1} instead of {foretold:.1} ({colour}: {})", way.title));
                }
            }
        }
    }
    assert!(count[0] >= 2 && count[1] >= 3, "{count:?}");
    let why = "a plan counts what grows while the part warms and cools, match the minutes at temperature alone: a film below \
               that is just used up by these is not thick enough for the plan";
    let row = |key: &str, what: String, ours: &str, miss: f64, tolerance: f64, unit: &str, why: Option<&str>| Row {
        key: format!("plan-match/{key}"),
        what,
        source: "none".to_owned(),
        status: "law".to_owned(),
        expected: "as foretold".to_owned(),
        ours: ours.to_owned(),
        miss,
        tolerance,
        unit: unit.to_owned(),
        why: why.map(ToOwned::to_owned),
    };
    #[expect(clippy::cast_precision_loss, reason = "a small count")]
    let lost = refused.len() as f64;
    let all = refused.first().map_or("all".to_owned(), |r| format!("all but {lost}, such as {r}"));
    let (cold, hot) = (count[0], count[1]);
    let saved = format!("recipes that match saved, {cold} of bath and coater and {hot} of heat, can be planned");
    record(
        "plan-match",
        vec![
            row("planned", saved, &all, lost, 0.0, "recipes", Some(why)),
            row(
                "thickness-cold",
                format!(
                    "greatest difference of a thickness from what match foretold, {cold} recipes of bath and coater"
                ),
                &worst[0].1,
                worst[0].0,
                1.0,
                "nm",
                None,
            ),
            row(
                "thickness-heat",
                format!("the same, {hot} recipes with a step of heat"),
                &worst[1].1,
                worst[1].0,
                1.0,
                "nm",
                None,
            ),
        ],
    );
}

/// The bell workshop that rides along is the one that the recipes of the folder name.
#[test]
fn the_recipes_ride_along() {
    for name in ["recipe-fade.toml", "recipe-kiln.toml", "recipe-two-colours.toml"] {
        let found = Library::examples().iter().find(|(n, _)| *n == format!("bells/{name}"));
        assert!(found.is_none_or(|(_, text)| *text == example(name)), "{name} differs from the disk");
    }
}
