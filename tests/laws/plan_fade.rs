//! A fade of a plan: volts and film rise along the part, the wanted words come in order, and the supply can follow.

use huewright::Engine;
use huewright::plan::{Plan, StepPlan};
use huewright_tests::accuracy::{Row, record};
use huewright_tests::chance::Chance;
use huewright_tests::plans::{bells, done, last_route, planned, recipe, refused};
use library::{AnodiseAim, StepWhat};

fn fade_text() -> String {
    std::fs::read_to_string(bells().join("recipe-fade.toml")).unwrap()
}

/// A fade of the bell dome in the sulfate jar, with stops `at, aim`.
fn dome(stops: &[(f64, String)], more: &str) -> String {
    let stops: String = stops.iter().map(|(at, aim)| format!("[[step.along]]\nat = {at}\n{aim}\n")).collect();
    format!(
        "schema = 1\nworkshop = \"workshop.toml\"\npart = \"dome.toml\"\n[[step]]\nroute = \"anodise\"\n\
         bath = \"sulfate jar\"\n{more}\n{stops}"
    )
}

fn colours(list: &[(f64, &str)]) -> Vec<(f64, String)> {
    list.iter().map(|(at, c)| (*at, format!("colour = \"{c}\""))).collect()
}

fn volts(list: &[(f64, f64)]) -> Vec<(f64, String)> {
    list.iter().map(|(at, v)| (*at, format!("voltage_v = {v:.2}"))).collect()
}

/// By how much the supply is turned down on the way, V.
fn turned_down(plan: &Plan) -> f64 {
    let lift = last_route(plan).lift.as_ref().unwrap();
    let beats: Vec<f64> = lift.beats.iter().map(|b| b.voltage_v).collect();
    let falls = |volts: &[f64]| volts.windows(2).map(|w| w[0] - w[1]).fold(0.0, f64::max);
    falls(&beats).max(falls(&lift.voltage_v))
}

/// What every fade keeps.
fn keeps_its_laws(plan: &Plan, most_a: f64) {
    let step: &StepPlan = last_route(plan);
    let lift = step.lift.as_ref().unwrap();
    let along = plan.areas[0].along.as_ref().unwrap();
    assert_eq!(along.len(), 60);
    for w in along.windows(2) {
        assert!(w[1].at > w[0].at && w[1].thickness_nm >= w[0].thickness_nm - 1e-9, "{w:?}");
        assert!(w[1].voltage_v.unwrap() >= w[0].voltage_v.unwrap() - 1e-9, "{w:?}");
    }
    assert!(lift.at_mm.windows(2).all(|w| w[1] >= w[0] - 1e-9), "{:?}", lift.at_mm);
    for w in lift.beats.windows(2) {
        assert!(w[1].second > w[0].second && w[1].lift_mm > w[0].lift_mm);
        // At the speed that is told.
        let speed = (w[1].lift_mm - w[0].lift_mm) / (w[1].second - w[0].second);
        assert!((speed / lift.speed_mm_per_s - 1.0).abs() < 1e-9, "{speed} {}", lift.speed_mm_per_s);
    }
    let last = lift.beats.last().unwrap();
    assert!((last.lift_mm - lift.length_mm).abs() < 1e-9 && (last.second - lift.seconds).abs() < 1e-9);
    assert!((lift.seconds * lift.speed_mm_per_s - lift.length_mm).abs() < 1e-9);
    let sizing = step.sizing.as_ref().unwrap();
    assert!(sizing.peak_current_a <= most_a * (1.0 + 1e-9), "{}", sizing.peak_current_a);
    let trace = step.trace.as_ref().unwrap();
    assert!(trace.current_a.iter().all(|a| *a <= most_a * (1.0 + 1e-9)));
    // The film of each place is what its volts grow: less the volt that a lift may lag behind, and some per cent for
    // another current than the law's.
    for place in along {
        let volts = place.voltage_v.unwrap();
        let off = place.thickness_nm - (4.0 + 1.95 * volts);
        assert!(off > -1.95 - 0.05 * 1.95 * volts && off < 0.08 * 1.95 * volts, "{off} nm: {place:?}");
    }
}

/// Wanted words appear along the part in their order, at their place.
fn words_in_order(plan: &Plan, wanted: &[(f64, &str)]) {
    let along = plan.areas[0].along.as_ref().unwrap();
    let mut from = 0;
    for (at, word) in wanted {
        let here = along[from..].iter().position(|p| p.shown.name == *word);
        let further = here.unwrap_or_else(|| {
            let names: Vec<&str> = along.iter().map(|p| p.shown.name.as_str()).collect();
            panic!("'{word}' at {at} is not met in order: {names:?}")
        });
        from += further;
    }
    // And a place that was asked for a word bears it.
    let asked: Vec<_> = along.iter().filter(|p| p.wanted.is_some()).collect();
    assert_eq!(asked.len(), wanted.len(), "{asked:?}");
    for (place, (_, word)) in asked.iter().zip(wanted) {
        assert!(place.shown.name == *word || place.delta_e.unwrap() < 5.0, "{word}: {place:?}");
    }
}

#[test]
fn the_example_fades_from_deep_blue_to_gold() {
    let engine = Engine::new().unwrap();
    let plan = done(&engine, &fade_text());
    keeps_its_laws(&plan, 3.0);
    words_in_order(&plan, &[(0.0, "deep blue"), (100.0, "gold")]);
    let lift = last_route(&plan).lift.as_ref().unwrap();
    assert!((lift.length_mm - 24.0).abs() < 1e-9, "the dome's height");
    // Pale lies on the way, and is told.
    assert!(lift.words.iter().any(|w| w.contains("pale")), "{:?}", lift.words);
    assert_eq!(lift.passes.first().map(String::as_str), Some("deep blue"));
    assert_eq!(lift.passes.last().map(String::as_str), Some("gold"));
}

#[test]
fn three_colours_come_in_order() {
    let engine = Engine::new().unwrap();
    let mut most: f64 = 0.0;
    for wanted in [
        [(0.0, "purple"), (50.0, "blue"), (100.0, "gold")],
        [(0.0, "straw"), (30.0, "purple"), (100.0, "deep blue")],
        [(0.0, "blue"), (60.0, "gold"), (100.0, "violet")],
    ] {
        let plan = done(&engine, &dome(&colours(&wanted), ""));
        keeps_its_laws(&plan, 3.0);
        words_in_order(&plan, &wanted);
        most = most.max(turned_down(&plan));
    }
    let row = Row {
        key: "plan-fade-rise/supply".to_owned(),
        what: "volts of the supply during a lift whose film's volts only rise, three fades of three stops".to_owned(),
        source: "none".to_owned(),
        status: "law".to_owned(),
        expected: "never fall".to_owned(),
        ours: format!("fall by {most:.2} V at most between two beats or marks"),
        miss: most,
        tolerance: 0.01,
        unit: "V".to_owned(),
        why: None,
    };
    record("plan-fade-rise", vec![row]);
}

#[test]
fn random_fades_keep_their_laws() {
    let engine = Engine::new().unwrap();
    let mut chance = Chance::new(11);
    for _ in 0..12 {
        let (low, middle, high) = (chance.between(8.0, 25.0), chance.between(26.0, 55.0), chance.between(56.0, 105.0));
        let stops = volts(&[(0.0, low), (chance.between(15.0, 85.0).round(), middle), (100.0, high)]);
        let length = format!("length_mm = {:.0}", chance.between(10.0, 120.0));
        keeps_its_laws(&done(&engine, &dome(&stops, &length)), 3.0);
    }
}

/// A faster speed is refused; what is told in its stead is put in.
#[test]
fn the_nearest_speed_works() {
    let engine = Engine::new().unwrap();
    let mut chance = Chance::new(12);
    let mut failed = Vec::new();
    let count = 16;
    for _ in 0..count {
        let (low, high) = (chance.between(8.0, 30.0), chance.between(40.0, 105.0));
        let stops = volts(&[(0.0, low), (100.0, high)]);
        // A weaker supply, so that speeds differ.
        let most_a = chance.between(0.05, 3.0);
        let length = chance.between(3.0, 60.0);
        let at = |speed: &str| {
            dome(&stops, &format!("length_mm = {length:.1}\n{speed}")).replace("workshop = \"workshop.toml\"\n", "")
                + &format!(
                    "\n[[bath]]\nname = \"sulfate jar\"\nelectrolyte = \"ammonium-sulfate\"\npercent = 1\n[[anodiser]]\n\
                 name = \"supply\"\nkind = \"regulated\"\nisolated = true\nmax_voltage_v = 110\nmax_current_a = {most_a:.3}\n"
                )
        };
        let slow = done(&engine, &at(""));
        let speed = last_route(&slow).lift.as_ref().unwrap().speed_mm_per_s;
        let why = refused(&engine, &at(&format!("speed_mm_per_s = {}", 1.5 * speed)));
        assert_eq!(why.limit, "supply", "{why:?}");
        let nearest = why.nearest.unwrap();
        let told: f64 = nearest.strip_prefix("speed_mm_per_s = ").unwrap().parse().unwrap();
        let works = told > 0.0 && planned(&engine, &at(&nearest)).feasible;
        if !works {
            failed.push(format!("{nearest} where {speed:.4} is the fastest"));
        }
    }
    let row = Row {
        key: "plan-fade/speed".to_owned(),
        what: format!("the nearest speed of a lift, put in ({count} questions)"),
        source: "none".to_owned(),
        status: "law".to_owned(),
        expected: "works".to_owned(),
        ours: failed.first().map_or("works".to_owned(), |f| format!("refused again, such as {f}")),
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        miss: failed.len() as f64,
        tolerance: 0.0,
        unit: "refused again".to_owned(),
        why: None,
    };
    record("plan-fade", vec![row]);
}

/// Colours that would need falling volts are refused, with the advice to turn the places round; turned, they are planned.
#[test]
fn an_order_that_needs_falling_volts_is_refused_and_turned_works() {
    let engine = Engine::new().unwrap();
    // Colours that the bath makes at 18, 27, 63 and 78 V, no first orders of one another.
    let made = |v: f64| {
        let plan = done(&engine, &dome(&[], &format!("voltage_v = {v}")));
        let [l, a, b] = plan.areas[0].made.lab;
        format!("lab({l:.1}, {a:.1}, {b:.1})")
    };
    let (purple, blue, gold, violet) = (made(18.0), made(27.0), made(63.0), made(78.0));
    for (first, last) in [(&gold, &blue), (&violet, &blue), (&blue, &purple), (&violet, &gold)] {
        let why = refused(&engine, &dome(&colours(&[(0.0, first), (100.0, last)]), ""));
        assert_eq!(why.limit, "fade", "{why:?}");
        assert!(why.nearest.as_ref().unwrap().contains("turn the places round"), "{first} {last}: {why:?}");
        let turned = done(&engine, &dome(&colours(&[(0.0, last), (100.0, first)]), ""));
        keeps_its_laws(&turned, 3.0);
    }
    let why = refused(&engine, &dome(&volts(&[(0.0, 60.0), (100.0, 20.0)]), ""));
    assert!(why.limit == "fade" && why.nearest.as_ref().unwrap().contains("turn the places round"), "{why:?}");
    done(&engine, &dome(&volts(&[(0.0, 20.0), (100.0, 60.0)]), ""));
    // Up and down again cannot be turned.
    let why = refused(&engine, &dome(&colours(&[(0.0, &violet), (50.0, &blue), (100.0, &violet)]), ""));
    assert!(!why.nearest.as_ref().unwrap().contains("turn the places round"), "{why:?}");
}

/// All pairs of ten words: a fade that can be done makes its words, one that cannot is advised to turn where that helps.
#[test]
fn pairs_of_words_are_made_or_turned() {
    let engine = Engine::new().unwrap();
    let words = ["straw", "bronze", "purple", "deep blue", "sky", "gold", "rose", "violet", "blue", "teal"];
    let plan_of = |a: &str, b: &str| planned(&engine, &dome(&colours(&[(0.0, a), (100.0, b)]), ""));
    let (mut other, mut unturned, mut counts) = (Vec::new(), Vec::new(), [0, 0]);
    for (i, a) in words.iter().enumerate() {
        for b in &words[..i] {
            let plans = [plan_of(a, b), plan_of(b, a)];
            for (plan, turned, names) in [(&plans[0], &plans[1], [a, b]), (&plans[1], &plans[0], [b, a])] {
                if plan.feasible {
                    counts[0] += 1;
                    let asked = plan.areas[0].along.as_ref().unwrap().iter().filter(|p| p.wanted.is_some());
                    for (place, word) in asked.zip(names) {
                        let off = place.delta_e.unwrap();
                        if place.shown.name != **word && off > 5.0 {
                            let [from, to] = names;
                            let name = &place.shown.name;
                            other.push(format!("{from} to {to}: {name} instead of {word}, {off:.0} off (CIEDE2000)"));
                        }
                    }
                } else if turned.feasible {
                    counts[1] += 1;
                    let why = &plan.why_not[0];
                    if !why.nearest.as_ref().is_some_and(|n| n.contains("turn the places round")) {
                        unturned.push(format!("{} to {}: {}", names[0], names[1], why.words));
                    }
                }
            }
        }
    }
    let row = |key: &str, what: String, list: &[String], why: Option<&str>| Row {
        key: format!("plan-fade-pairs/{key}"),
        what,
        source: "none".to_owned(),
        status: "law".to_owned(),
        expected: "all".to_owned(),
        ours: list.first().map_or("all".to_owned(), |l| format!("all but {}, such as {l}", list.len())),
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        miss: list.len() as f64,
        tolerance: 0.0,
        unit: "fades".to_owned(),
        why: why.map(ToOwned::to_owned),
    };
    record(
        "plan-fade-pairs",
        vec![
            row(
                "made",
                format!(
                    "of {} fades between two words that a plan calls feasible, those that make both words",
                    counts[0]
                ),
                &other,
                Some(
                    "the nearest colour to the target of a word lies at the edge of the word, and whether a fade can be done \
                     is judged at the stop itself by the film that the volts grow in the end: the lifted film beside it may \
                     bear another name, and is not looked at again",
                ),
            ),
            row(
                "turned",
                format!("of {} fades that can be done only turned round, those that are told so", counts[1]),
                &unturned,
                None,
            ),
        ],
    );
}

#[test]
fn a_colour_that_no_volts_make_is_refused_and_the_nearest_named() {
    let engine = Engine::new().unwrap();
    let why = refused(&engine, &dome(&colours(&[(0.0, "deep blue"), (100.0, "red")]), ""));
    assert_eq!(why.limit, "fade", "{why:?}");
    let nearest = why.nearest.unwrap();
    let word = nearest.split("makes: ").nth(1).unwrap().split(" is the nearest").next().unwrap().to_owned();
    assert!(engine.names().find(&word).is_some(), "{nearest}");
}

/// The example says in its own words what the reader finds in it.
#[test]
fn the_reader_keeps_what_a_fade_asks_for() {
    let engine = Engine::new().unwrap();
    let read = recipe(&engine, &fade_text());
    let StepWhat::Anodise(anodise) = &read.steps[1].what else { panic!("a bath") };
    let stops = &anodise.fade.as_ref().unwrap().stops;
    assert_eq!(stops[0].aim, AnodiseAim::Colour("deep blue".to_owned()));
    assert_eq!(stops[1].aim, AnodiseAim::Colour("gold".to_owned()));
}
