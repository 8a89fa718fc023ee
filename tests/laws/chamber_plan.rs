//! What a plan tells of a chamber: slices of a graded film, whole turns, places, limits of each axis, and what it refuses.

use colour::{Lab, ciede2000};
use huewright::chamber::ChamberJson;
use huewright::limits::LimitsJson;
use huewright::look::look;
use huewright::plan::Plan;
use huewright::{Conditions, Engine, Light};
use huewright_tests::accuracy::{Row, record};
use huewright_tests::finishes::{base, film, material};
use huewright_tests::plans::{bells, done, last_route, planned, refused};
use huewright_tests::worst::{Origin, Worst};
use library::FilmSpec;
use std::f64::consts::TAU;

const ORIGIN: Origin<'_> = Origin { chapter: "chamber-plan", source: "none", status: "law" };

/// A magnetron with a table; `more` are keys of the coater and its tables.
fn magnetron(more: &str) -> String {
    format!(
        "[[coater]]\nname = \"magnetron\"\nkind = \"sputter\"\n\
         films = [\"tin\", \"tialn\", \"titanium-oxynitride\", \"titania-anodic\"]\nthinnest_nm = 2\n{more}\n"
    )
}

const TABLE: &str = "[coater.load]\nrotation = 1\nrpm = 3\ntable_radius_mm = 250\nheight_mm = 300\n";

fn target(groove_mm: f64, centre_mm: f64) -> String {
    format!(
        "[[coater.target]]\naxis_mm = 380\ntrack_height_mm = 500\ntrack_width_mm = 80\ngroove_mm = {groove_mm}\n\
         centre_mm = {centre_mm}\nbearing_deg = 0\n"
    )
}

/// A recipe of a stainless mirror in a magnetron.
fn text(coater: &str, steps: &str) -> String {
    format!("schema = 1\n[start.base]\nmaterial = \"stainless-austenitic\"\n{}{steps}", magnetron(coater))
}

/// A step that lays a film.
fn lay(film: &str, more: &str) -> String {
    format!("[[step]]\nroute = \"sputter\"\nfilm = \"{film}\"\n{more}\n")
}

/// Compositions through a film, at per cent of its thickness.
fn through(stops: &[(f64, f64)]) -> String {
    let one = |(at, c): &(f64, f64)| format!("[[step.through]]\nat = {at:?}\ncomposition = {c:?}\n");
    stops.iter().map(one).collect()
}

fn lab(of: [f64; 3]) -> Lab {
    Lab { l: of[0], a: of[1], b: of[2] }
}

fn chamber(plan: &Plan) -> &ChamberJson {
    last_route(plan).chamber.as_ref().unwrap()
}

fn limits(plan: &Plan) -> &LimitsJson {
    plan.areas[0].limits.as_ref().unwrap()
}

/// The composition along straight lines, written again.
fn straight(stops: &[(f64, f64)], at: f64) -> f64 {
    let i = (1..stops.len() - 1).take_while(|i| stops[*i].0 <= at).count();
    let [(a, from), (b, to)] = [stops[i], stops[i + 1]];
    from + (to - from) * (at - a) / (b - a)
}

#[test]
fn a_graded_film_is_as_many_slices_as_it_needs() {
    let engine = Engine::new().unwrap();
    let below = lay("tin", "thickness_nm = 300");
    let mut same = Worst::default();
    for (name, c, nm) in [("titanium-oxynitride", 0.3, 35.0), ("tialn", 0.55, 60.0), ("tin", 0.7, 120.0)] {
        let even =
            done(&engine, &text("", &(below.clone() + &lay(name, &format!("thickness_nm = {nm}\ncomposition = {c}")))));
        let stops = through(&[(0.0, c), (40.0, c), (100.0, c)]);
        let graded = done(&engine, &text("", &(below.clone() + &lay(name, &format!("thickness_nm = {nm}\n{stops}")))));
        assert!(chamber(&graded).layers.slices >= 4 && chamber(&even).layers.slices == 1);
        for (i, axis) in ["L*", "a*", "b*"].iter().enumerate() {
            let at = format!("{axis}, {name}");
            same.see(at, graded.areas[0].made.lab[i], even.areas[0].made.lab[i], 1e-9);
        }
    }
    let (mut told, mut within) = (Worst::default(), Worst::default());
    for (name, nm, stops) in [
        ("titanium-oxynitride", 35.0, vec![(0.0, 0.0), (100.0, 0.6)]),
        ("titanium-oxynitride", 80.0, vec![(0.0, 0.9), (30.0, 0.2), (100.0, 0.95)]),
        ("titanium-oxynitride", 300.0, vec![(0.0, 0.1), (50.0, 0.9), (55.0, 0.1), (100.0, 0.9)]),
        ("titanium-oxynitride", 250.0, vec![(0.0, 0.0), (100.0, 1.0)]),
        ("tialn", 60.0, vec![(0.0, 0.3), (100.0, 0.7)]),
        ("tialn", 150.0, vec![(0.0, 0.8), (10.0, 0.0), (100.0, 0.8)]),
        ("tin", 400.0, vec![(0.0, 0.0), (100.0, 1.0)]),
        ("tin", 60.0, vec![(0.0, 1.0), (100.0, 0.0)]),
    ] {
        let order = lay(name, &format!("thickness_nm = {nm}\n{}", through(&stops)));
        let plan = done(&engine, &text("", &(below.clone() + &order)));
        let layers = &chamber(&plan).layers;
        let error = layers.error_delta_e.unwrap();
        let mut fine = base("stainless-austenitic", "");
        fine.films.push(film(material("tin", ""), 300.0));
        fine.films.extend((0..1024).map(|i| FilmSpec {
            composition: Some(straight(&stops, 100.0 * (f64::from(i) + 0.5) / 1024.0)),
            ..film(material(name, ""), nm / 1024.0)
        }));
        let endless = look(&engine, &fine, &Conditions::default()).unwrap().lab;
        let off = ciede2000(lab(plan.areas[0].made.lab), lab(endless));
        let at = format!("{name} {nm} nm, {} slices", layers.slices);
        told.see(at.clone(), off, 0.0, error);
        within.see(at, off, 0.0, 0.15);
        // What is drawn ends in what is told.
        let end = layers.lab.last().unwrap();
        assert!(ciede2000(lab(*end), lab(plan.areas[0].made.lab)) < 1e-9);
    }
    let all = told.row(ORIGIN, "3-told", "the same, against the change by doubling that is told", "CIEDE2000");
    let why = "what doubling changes is not all that is left: middles of slices leave a series of quarters, which comes to \
               four thirds of its first step, and a kink within a slice leaves more; the plan says `twice as many would \
               change the colour by`, which is true";
    let rows = vec![
        Row { why: Some(why.to_owned()), ..all },
        same.row(ORIGIN, "1-constant", "a graded film of one composition against an ungraded one", "Lab units"),
        within.row(ORIGIN, "2-slices", "colour of a graded film from that of 1024 slices", "CIEDE2000"),
    ];
    record("chamber-plan", rows);
}

#[test]
fn whole_turns_lay_what_they_say() {
    let engine = Engine::new().unwrap();
    let shop = |rate: f64| {
        format!("rate_nm_per_min = {rate}\nshutter_s = 1\nrepeatability = 0.05\n{TABLE}{}", target(0.0, 0.0))
    };
    let plan = done(&engine, &text(&shop(33.3), &lay("tin", "thickness_nm = 30")));
    let turns = chamber(&plan).turns.as_ref().unwrap();
    // coatings.md 3.1.27 (D) with the 3 rpm: 33.3/3 nm a turn.
    assert!((turns.layer_nm - 11.1).abs() < 1e-9 && (turns.count - 30.0 / 11.1).abs() < 1e-9, "{turns:?}");
    assert_eq!(turns.whole.iter().map(|w| w.turns).collect::<Vec<_>>(), [2.0, 3.0]);
    for whole in &turns.whole {
        let order = |what: String| done(&engine, &text(&shop(33.3), &lay("tin", &what)));
        let by_turns = order(format!("turns = {}", whole.turns));
        let by_time = order(format!("seconds = {}", whole.seconds));
        let by_nm = order(format!("thickness_nm = {}", whole.thickness_nm));
        assert!((whole.thickness_nm - 11.1 * whole.turns).abs() < 1e-9);
        for plan in [&by_turns, &by_time, &by_nm] {
            let told = chamber(plan).turns.as_ref().unwrap();
            assert!(
                (told.count - whole.turns).abs() < 1e-9 && told.spread_nm == 0.0 && told.whole.len() == 1,
                "{told:?}"
            );
            assert_eq!(plan.areas[0].made.lab, by_nm.areas[0].made.lab);
            // A whole turn leaves the shutter alone: 1 s is 0.555 nm.
            let control = &chamber(plan).control;
            let expected = (0.05 * whole.thickness_nm).hypot(0.555);
            assert!((control.sd_nm - expected).abs() < 1e-9 && control.turn_nm == Some(0.0), "{control:?}");
        }
    }
    // A broken turn: what the drawn turn lays between its poorest and its richest stretch.
    assert!(turns.spread_nm > 0.5 && turns.spread_nm <= 11.1, "{turns:?}");
    let picture = &chamber(&plan).load.as_ref().unwrap().picture;
    assert!((picture.laid_nm.last().unwrap() - 11.1).abs() < 0.02, "{:?}", picture.laid_nm.last());
    // Its 180 points are 179 steps; 0.7027 of them are 126.
    let laid = |from: usize| (0..126).map(|i| picture.rate_nm_per_min[(from + i) % 179]).sum::<f64>() / 179.0 / 3.0;
    let all: Vec<f64> = (0..179).map(laid).collect();
    let spread = all.iter().copied().fold(0.0, f64::max) - all.iter().copied().fold(f64::MAX, f64::min);
    assert!((spread - turns.spread_nm).abs() < 0.2, "{spread} {}", turns.spread_nm);
}

#[test]
fn each_axis_is_judged_by_itself_and_in_every_place() {
    let engine = Engine::new().unwrap();
    let shop = format!("rate_nm_per_min = 8\nrepeatability = 0.06\nshutter_s = 0.5\n{TABLE}{}", target(0.0, 60.0));
    let steps = lay("tin", "thickness_nm = 500") + &lay("tialn", "thickness_nm = 30.4\ncomposition = 0.6");
    let ask = |wanted: &str| done(&engine, &text(&shop, &format!("[wanted]\n{wanted}\n{steps}")));
    let here = ask("lab = [20, 0, -30]\nlight = \"A\"\nobserver = 10");
    // The light and the observer of the wanted colour rule: as `look` sees it under them.
    let under = Conditions { light: Light::Named("A".to_owned()), observer: "10".to_owned(), ..Conditions::default() };
    let mut finish = base("stainless-austenitic", "");
    finish.films.push(film(material("tin", ""), 500.0));
    finish.films.push(FilmSpec { composition: Some(0.6), ..film(material("tialn", ""), 30.4) });
    let seen = look(&engine, &finish, &under).unwrap().lab;
    let other = look(&engine, &finish, &Conditions::default()).unwrap().lab;
    let [ours, d65] = [seen, other].map(|l| ciede2000(lab(l), lab(here.areas[0].made.lab)));
    assert!(ours < 1e-9 && d65 > 1.0, "{ours} {d65}");
    let [l, a, b] = ask("lab = [20, 0, -30]\nobserver = 10").areas[0].made.lab;
    let master = format!("lab = [{l}, {a}, {b}]\nobserver = 10\n");
    let wide = ask(&format!("{master}limits = {{ l = 200, a = 200, b = 200 }}"));
    let judged = limits(&wide);
    assert_eq!((judged.share_inside, judged.yields, judged.observer.as_str()), (Some(1.0), Some(1.0), "10"));
    assert!(judged.axes.iter().all(|x| x.inside && x.difference.abs() < 1e-9 && x.share_inside == Some(1.0)));
    let never = ask(&format!("{master}limits = {{ l = [150, 160] }}"));
    assert_eq!((limits(&never).share_inside, limits(&never).yields), (Some(0.0), Some(0.0)));
    // An axis left out never fails, however far it is off.
    let one = ask("lab = [20, 90, 90]\nlimits = { l = 200 }");
    for axis in &limits(&one).axes {
        assert!(axis.inside && axis.share_inside == Some(1.0), "{axis:?}");
        assert_eq!(axis.low.is_none(), axis.axis != "L*", "{axis:?}");
    }
    assert_eq!(limits(&one).yields, Some(1.0));
    // Narrower limits never pass more, and the places are those of the load.
    let mut before = 1.0;
    for width in [20.0, 8.0, 4.0, 2.0, 0.5] {
        let plan = ask(&format!("{master}limits = {{ l = {width}, a = [-{width}, {}], b = {width} }}", 2.0 * width));
        let (judged, load) = (limits(&plan), chamber(&plan).load.as_ref().unwrap());
        let share = judged.share_inside.unwrap();
        assert!(share <= before && judged.axes.iter().all(|x| x.share_inside.unwrap() >= share), "{judged:?}");
        before = share;
        assert_eq!(judged.positions.len(), load.positions.len());
        for (place, laid) in judged.positions.iter().zip(&load.positions) {
            assert_eq!(place.at, laid.name);
            let reach = [[-width, width], [-width, 2.0 * width], [-width, width]];
            for i in 0..3 {
                let off = place.difference[i] - (laid.lab[i] - [l, a, b][i]);
                assert!(off.abs() < 1e-9, "{}: {off}", place.at);
                assert_eq!(place.inside[i], (reach[i][0]..=reach[i][1]).contains(&place.difference[i]));
            }
            assert!((laid.thickness_nm - 30.4 * laid.share).abs() < 1e-9);
        }
        #[expect(clippy::cast_precision_loss, reason = "three places")]
        let mean = judged.positions.iter().map(|p| p.share_inside).sum::<f64>() / judged.positions.len() as f64;
        assert!((judged.yields.unwrap() - mean).abs() < 1e-12);
    }
    assert!(before < 0.3, "{before}");
}

/// The recipe with the nearest setting, a line `key = value`, in place of its own; the last one where it stands twice.
fn put_in(text: &str, nearest: &str) -> String {
    let (key, _) = nearest.split_once(" = ").unwrap();
    let line = text.lines().filter(|l| l.starts_with(&format!("{key} = "))).last().unwrap();
    let at = text.rfind(&format!("\n{line}\n")).unwrap() + 1;
    format!("{}{nearest}{}", &text[..at], &text[at + line.len()..])
}

#[test]
fn an_arc_lays_no_thin_colour_and_the_nearest_works() {
    let engine = Engine::new().unwrap();
    let text = std::fs::read_to_string(bells().join("recipe-gold-dark-arc.toml")).unwrap();
    let why = refused(&engine, &text);
    assert_eq!((why.limit, why.step), ("coater", 3));
    for word in ["30.4 nm", "500 nm or more", "at 500 nm it would be", "from what is wanted"] {
        assert!(why.words.contains(word), "{word}: {}", why.words);
    }
    let plan = done(&engine, &put_in(&text, why.nearest.as_ref().unwrap()));
    // What it said it would look like is what comes.
    let made = &plan.areas[0].made;
    assert!(why.words.contains(&format!("{} (L* {:.0})", made.shown.name, made.lab[0])), "{}", why.words);
    let off = plan.areas[0].delta_e.unwrap();
    assert!(why.words.contains(&format!("{off:.1} (CIEDE2000)")), "{off}: {}", why.words);
}

#[test]
fn what_heat_harms_is_kept_cool() {
    let engine = Engine::new().unwrap();
    let text = |metal: &str, part_c: f64, tempered: &str| {
        format!(
            "schema = 1\n[part]\nmetal = \"{metal}\"\n{tempered}\n[part.shape]\nkind = \"sphere\"\ndiameter_mm = 20\n{}{}",
            magnetron("part_temperature_c = 250\npressure_pa = 0.1"),
            lay("tin", &format!("thickness_nm = 300\npart_temperature_c = {part_c}"))
        )
    };
    // Steel that was tempered at 200 C, in a chamber of 250 C; the coldest that is told works, and the limit does not.
    for part_c in [250.0, 200.0] {
        let why = refused(&engine, &text("carbon-steel", part_c, "tempered_c = 200"));
        assert_eq!(why.limit, "metal", "{}", why.words);
        assert!(why.words.contains(&format!("{part_c} C hot")) && why.words.contains("last at 200 C"), "{}", why.words);
        assert_eq!(why.nearest.as_deref(), Some("a cycle below 200 C"));
    }
    let cool = done(&engine, &text("carbon-steel", 199.0, "tempered_c = 200"));
    let words = &chamber(&cool).temperature.as_ref().unwrap().words;
    assert!(words.iter().any(|w| w.contains("1 C are left")) && words.iter().any(|w| w.contains("O1")), "{words:?}");
    // Nobody said how it was treated: told, not refused.
    let unknown = done(&engine, &text("carbon-steel", 250.0, ""));
    assert!(chamber(&unknown).temperature.as_ref().unwrap().words.iter().any(|w| w.contains("tempered at")));
    // Brass: zinc, with its vapour beside the process (coatings.md 3.5.12 and 3.5.13, M and D): 1.4e-2 Pa, 11 um/h.
    let brass = done(&engine, &text("brass-70-30", 250.0, ""));
    let words = chamber(&brass).temperature.as_ref().unwrap().words.join("; ");
    for word in ["zinc", "1.4", "e-2 Pa", "beside a process at 0.1 Pa", "um an hour", "nickel or chromium"] {
        assert!(words.contains(word), "{word}: {words}");
    }
    let cold = done(&engine, &text("brass-70-30", 120.0, ""));
    let words = chamber(&cold).temperature.as_ref().unwrap().words.join("; ");
    assert!(!words.contains("zinc") && words.contains("nothing known here forbids"), "{words}");
}

#[test]
fn a_blue_of_titania_is_told_what_to_use_instead() {
    let engine = Engine::new().unwrap();
    let (mut first, mut second) = (Vec::new(), Vec::new());
    for nm in (20..=330).step_by(2) {
        let steps = lay("tin", "thickness_nm = 500") + &lay("titania-anodic", &format!("thickness_nm = {nm}"));
        let plan = done(&engine, &text("", &steps));
        let made = &plan.areas[0].made;
        let hue = made.lab[2].atan2(made.lab[1]).to_degrees().rem_euclid(360.0);
        let blue = (215.0..=300.0).contains(&hue);
        let note = last_route(&plan).notes.iter().find(|n| n.contains("a dark nitride instead"));
        if !blue {
            assert!(note.is_none(), "{nm} nm, hue {hue:.0}: {note:?}");
            continue;
        }
        let note = note.unwrap_or_else(|| panic!("{nm} nm, hue {hue:.0}, {}: nothing is told", made.shown.name));
        assert!(note.contains(&made.shown.name) && note.contains("tialn"), "{note}");
        if nm < 100 { &mut first } else { &mut second }.push((
            nm,
            made.shown.name.clone(),
            made.lab[1].hypot(made.lab[2]),
        ));
    }
    assert!(!first.is_empty() && !second.is_empty(), "{first:?} {second:?}");
    // The first is grey: slate at its most vivid, or greyer (coatings.md 1.5, D: chroma at most 18 on 1.3.2).
    let names: Vec<&str> = first.iter().map(|f| f.1.as_str()).collect();
    assert!(names.contains(&"slate") && first.iter().all(|f| f.2 < 25.0), "{first:?}");
    // The second is a blue that moves: one nm of it is told with the note.
    assert!(second.iter().any(|s| s.1 == "blue"), "{second:?}");
}

#[test]
fn places_follow_the_target() {
    let engine = Engine::new().unwrap();
    let load = |groove_mm: f64, centre_mm: f64| {
        let shop = format!("rate_nm_per_min = 8\n{TABLE}{}", target(groove_mm, centre_mm));
        let plan = done(&engine, &text(&shop, &lay("tin", "thickness_nm = 60")));
        chamber(&plan).load.clone().unwrap()
    };
    let (new, worn, high) = (load(0.0, 0.0), load(5.0, 0.0), load(0.0, 80.0));
    let share =
        |load: &huewright::chamber::LoadJson, at: &str| load.positions.iter().find(|p| p.name == at).unwrap().share;
    for one in [&new, &worn] {
        assert!((share(one, "top") - share(one, "bottom")).abs() < 1e-9 && share(one, "top") < 1.0);
        assert!((share(one, "middle") - 1.0).abs() < 1e-12);
    }
    assert!(share(&high, "top") > share(&high, "bottom"));
    // A worn target sends less; told from either side it is the same ratio.
    assert!(new.worn.groove_mm > 0.0 && new.worn.share < 1.0 && worn.worn.share > 1.0 && worn.worn.groove_mm == 0.0);
    assert!((new.worn.groove_mm - 5.0).abs() < 1e-12 && (new.worn.share * worn.worn.share - 1.0).abs() < 1e-9);
    for (a, b) in new.worn.positions.iter().zip(&worn.positions) {
        assert!((a.share - new.worn.share * b.share).abs() < 1e-9, "{}", a.name);
    }
}

/// Arriving at a place of a part that turns on a table, by plain sums over a flat track and a turn.
fn by_hand(at: [f64; 3], normal: [f64; 3]) -> f64 {
    let (table, axis, height, width) = (250.0, 380.0, 500.0, 80.0);
    let (up, across, moments) = (120, 24, 720);
    let mut sum = 0.0;
    for k in 0..moments {
        let (sin, cos) = (TAU * (f64::from(k) + 0.5) / f64::from(moments)).sin_cos();
        let turned = |v: [f64; 3]| [v[0] * cos - v[1] * sin, v[0] * sin + v[1] * cos, v[2]];
        let (p, n) = (turned([table + at[0], at[1], at[2]]), turned(normal));
        for i in 0..up {
            for j in 0..across {
                let z = height * ((f64::from(i) + 0.5) / f64::from(up) - 0.5);
                let y = width * ((f64::from(j) + 0.5) / f64::from(across) - 0.5);
                let ray = [p[0] - axis, p[1] - y, p[2] - z];
                let square: f64 = ray.iter().map(|c| c * c).sum();
                let leaves = -ray[0];
                let meets = -(ray[0] * n[0] + ray[1] * n[1] + ray[2] * n[2]);
                if leaves > 0.0 && meets > 0.0 {
                    sum += leaves * meets / (square * square);
                }
            }
        }
    }
    sum
}

#[test]
fn the_facets_of_a_dome_are_those_of_a_plain_sum() {
    let engine = Engine::new().unwrap();
    let text = format!(
        "schema = 1\n[part]\nmetal = \"stainless-austenitic\"\n[part.shape]\nkind = \"dome\"\ndiameter_mm = 58\n\
         height_mm = 24\n{}{}",
        magnetron(&format!("rate_nm_per_min = 8\n{TABLE}{}", target(0.0, 0.0))),
        lay("tin", "thickness_nm = 60")
    );
    let plan = done(&engine, &text);
    let facets = &chamber(&plan).load.as_ref().unwrap().facets;
    // A cap of 58 mm across and 24 mm high: its ball has (29^2 + 24^2)/48 mm, and it leans by 29 of that at the rim.
    let ball = (29.0_f64.powi(2) + 24.0_f64.powi(2)) / 48.0;
    let (lean, straight) = (29.0 / ball, (ball - 24.0) / ball);
    let front = by_hand([0.0; 3], [1.0, 0.0, 0.0]);
    let mut all = Worst::default();
    for (name, at, normal) in [
        ("crown", [24.0, 0.0, 0.0], [1.0, 0.0, 0.0]),
        ("rim above", [0.0, 0.0, 29.0], [straight, 0.0, lean]),
        ("rim below", [0.0, 0.0, -29.0], [straight, 0.0, -lean]),
        ("rim ahead", [0.0, 29.0, 0.0], [straight, lean, 0.0]),
        ("rim behind", [0.0, -29.0, 0.0], [straight, -lean, 0.0]),
    ] {
        let told = facets.iter().find(|f| f.name == name).unwrap();
        all.see(name, told.share, by_hand(at, normal) / front, 2e-3);
        assert!((told.thickness_nm - 60.0 * told.share).abs() < 1e-9);
    }
    // The sixth is the hollow side, which looks away from the wall.
    assert_eq!((all.count, facets.len()), (5, 6));
    let row = all.row(ORIGIN, "1-dome", "thickness over a dome that turns on a table, by plain sums", "of the front");
    let row = Row { key: row.key.replacen("chamber-plan", "chamber-plan-dome", 1), ..row };
    record("chamber-plan-dome", vec![Row { status: "second method".to_owned(), ..row }]);
}

/// The demo: planned with its chance in the magnetron.
#[test]
fn the_demo_is_planned_with_its_chance() {
    let engine = Engine::new().unwrap();
    let text = std::fs::read_to_string(bells().join("recipe-gold-dark.toml")).unwrap();
    let plan = planned(&engine, &text);
    let area = &plan.areas[0];
    let chance = area.chance.unwrap();
    assert!(plan.feasible && area.made.shown.name.contains("blue") && chance > 0.05 && chance < 1.0, "{chance}");
    let load = chamber(&plan).load.as_ref().unwrap();
    assert_eq!(load.positions.iter().map(|p| p.name.as_str()).collect::<Vec<_>>(), ["top", "middle", "bottom"]);
}
