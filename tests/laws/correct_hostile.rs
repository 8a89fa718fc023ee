//! Logs that say little or nonsense: one clear error, or an answer that is a number throughout.

use huewright::Engine;
use huewright::correct::Correction;
use huewright_tests::chance::Chance;
use huewright_tests::loads::corrected;

const HEAD: &str = "schema = 1\nrecipe = \"recipe-gold-dark.toml\"\nobserver = 10\n[wanted]\nlab = [23, 1.8, -35]\n\
                    limits = { l = 2.5, b = 4 }\n";

fn load(hours: &str, witnesses: &[(&str, [f64; 3])]) -> String {
    let mut text = format!("[[load]]\n{hours}\n");
    for (at, lab) in witnesses {
        text.push_str(&format!("[[load.witness]]\nat = \"{at}\"\nlab = {lab:?}\n"));
    }
    text
}

/// Every number is a number, probabilities are shares, and what is set is positive.
fn sound(told: &Correction, text: &str) {
    // JSON has no NaN and no infinity: they become null.
    let json = told.json();
    for (i, row) in told.loads.iter().enumerate() {
        let sum: f64 = row.causes.iter().map(|c| c.probability).sum();
        assert!(sum <= 1.0 + 1e-9 && row.causes.iter().all(|c| (0.0..=1.0).contains(&c.probability)), "{text}");
        for cause in &json["loads"][i]["causes"].as_array().cloned().unwrap_or_default() {
            assert!(cause["amount"].is_number() && cause["sd"].is_number(), "{cause}\n{text}");
        }
        assert!(!row.verdict.is_empty(), "{text}");
    }
    if let Some(next) = &told.next {
        assert!(json["next"]["lab"].as_array().unwrap().iter().all(serde_json::Value::is_number), "{text}");
        assert!((0.0..=1.0).contains(&next.chance) && next.delta_e.is_finite(), "{next:?}");
        assert!(next.set.iter().all(|s| s.to.is_finite() && s.to > 0.0), "{next:?}");
    }
    if let Some(trend) = &told.trend {
        assert!(trend.share.is_finite() && trend.sd > 0.0, "{trend:?}");
    }
}

#[test]
fn what_says_nothing_is_one_clear_error() {
    let engine = Engine::new().unwrap();
    let error = |text: &str| corrected(&engine, text).map(|_| ()).unwrap_err().to_string();
    let none = error(&format!("{HEAD}{}{}", load("ampere_hours = 1", &[]), load("ampere_hours = 2", &[])));
    assert!(none.contains("no load has a witness") && none.contains("[[load.witness]]"), "{none}");
    let empty = error(HEAD);
    assert!(empty.contains("[[load]]"), "{empty}");
    for (lab, word) in [
        ("[400, 0, 0]", "400"),
        ("[-3, 0, 0]", "-3"),
        ("[40, 900, 0]", "900"),
        ("[40, nan, 0]", "lab"),
        ("[40, 0]", "lab"),
        ("\"blue\"", "lab"),
    ] {
        let told = error(&format!("{HEAD}[[load]]\n[[load.witness]]\nat = \"middle\"\nlab = {lab}\n"));
        assert!(told.contains(word) && told.contains("line 10") && !told.contains('\n'), "{lab}: {told}");
    }
    let place = error(&format!("{HEAD}[[load]]\n[[load.witness]]\nlab = [40, 0, 0]\n"));
    assert!(place.contains("at"), "{place}");
    // A recipe that cannot be done, and one that is no coater's.
    let one = load("", &[("middle", [23.0, 2.0, -35.0])]);
    let arc = error(&(HEAD.replace("recipe-gold-dark.toml", "recipe-gold-dark-arc.toml") + &one));
    assert!(arc.contains("cannot be done") && arc.contains("huewright plan"), "{arc}");
    let kiln = error(&(HEAD.replace("recipe-gold-dark.toml", "recipe-kiln.toml") + &one));
    assert!(kiln.contains("coater"), "{kiln}");
}

#[test]
fn a_log_of_one_load_is_the_reference_and_no_more() {
    let engine = Engine::new().unwrap();
    for labs in [vec![("middle", [23.0, 2.0, -35.0])], vec![("middle", [90.0, -60.0, 90.0]), ("top", [0.0, 0.0, 0.0])]]
    {
        let text = format!("{HEAD}{}", load("ampere_hours = 1200\nseconds = [3750, 228]", &labs));
        let told = corrected(&engine, &text).unwrap();
        sound(&told, &text);
        assert!(told.loads[0].verdict.contains("reference") && told.loads[0].causes.is_empty() && told.trend.is_none());
    }
}

#[test]
fn hours_that_stand_still_or_run_back_stop_nothing() {
    let engine = Engine::new().unwrap();
    for hours in
        [["1200", "1200", "1200"], ["1200", "1100", "900"], ["0", "0", "0"], ["1200", "1200.000001", "1200.000002"]]
    {
        let rows: Vec<String> = hours
            .iter()
            .enumerate()
            .map(|(i, h)| {
                let lab = [[23.0, 1.8, -35.0], [23.0, 6.0, -35.0], [21.0, 32.0, -29.0]][i];
                load(&format!("ampere_hours = {h}"), &[("middle", lab)])
            })
            .collect();
        let text = format!("{HEAD}{}", rows.concat());
        let told = corrected(&engine, &text).unwrap();
        sound(&told, &text);
        let rising = hours[0].parse::<f64>().unwrap() < hours[1].parse::<f64>().unwrap();
        assert!(told.trend.is_none_or(|t| (t.against == "ampere_hours") == rising));
    }
    // Some loads without a witness, and hours that only some tell.
    let text = format!(
        "{HEAD}{}{}{}{}",
        load("", &[]),
        load("", &[("top", [22.0, 8.0, -35.0])]),
        load("ampere_hours = 5", &[]),
        load("", &[("somewhere", [30.0, 3.0, -37.0])])
    );
    let told = corrected(&engine, &text).unwrap();
    sound(&told, &text);
    assert!(told.loads[0].verdict.contains("no witness") && told.loads[1].verdict.contains("reference"));
}

#[test]
fn absurd_colours_are_unknown_and_never_stop_it() {
    let engine = Engine::new().unwrap();
    let mut chance = Chance::new(7);
    let mut any = || {
        [chance.between(0.0, 100.0), chance.between(-128.0, 128.0), chance.between(-128.0, 128.0)]
            .map(|v| (10.0 * v).round() / 10.0)
    };
    for round in 0..6 {
        let first = if round % 2 == 0 { [23.0, 1.8, -35.0] } else { any() };
        let text = format!(
            "{HEAD}{}{}{}",
            load("seconds = [3750, 228]", &[("middle", first)]),
            load("", &[("top", any()), ("middle", any())]),
            load("", &[("middle", any())]),
        );
        let told = corrected(&engine, &text).unwrap();
        sound(&told, &text);
    }
    // A white and a black coupon: nothing that a chamber does.
    for lab in [[100.0, 0.0, 0.0], [0.0, 0.0, 0.0], [60.0, -100.0, 80.0]] {
        let text = format!("{HEAD}{}{}", load("", &[("middle", [23.0, 1.8, -35.0])]), load("", &[("middle", lab)]));
        let told = corrected(&engine, &text).unwrap();
        sound(&told, &text);
        let best = &told.loads[1].causes[0];
        println!("{lab:?}: {}", told.loads[1].verdict);
        assert!(best.id != "same", "{}", told.loads[1].verdict);
    }
    // Times that no shop sets.
    for seconds in ["[1, 1]", "[90000, 1]", "[3750, 3600]"] {
        let text = format!(
            "{HEAD}{}{}",
            load(&format!("seconds = {seconds}"), &[("middle", [23.0, 1.8, -35.0])]),
            load("", &[("middle", [30.0, 0.0, -20.0])])
        );
        match corrected(&engine, &text) {
            Ok(told) => sound(&told, &text),
            Err(e) => assert!(e.to_string().contains("seconds"), "{e}"),
        }
    }
}
