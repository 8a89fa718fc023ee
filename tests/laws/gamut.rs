//! What `gamut` says is reached, and what `match` finds, are one: the same ways, the same colours, the same refusals.

use crate::search::metal;
use colour::{Lab, ciede2000};
use huewright::finish::Eye;
use huewright::gamut::{Gamut, GamutRequest, Reached, any_workshop, gamut};
use huewright::look::look;
use huewright::matching::{Match, MatchRequest, match_colour};
use huewright::ribbon::{Axis, RibbonRequest, bare, ribbon};
use huewright::{Conditions, Engine, parse_target};
use huewright_tests::finishes::coated;
use library::{FinishFile, MediumAbove, WorkshopFile};
use serde_json::Value;
use std::path::Path;

fn bells(engine: &Engine) -> WorkshopFile {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples/bells/workshop.toml");
    let bytes = std::fs::read(&path).unwrap();
    WorkshopFile::read("workshop.toml", &bytes, engine.library(), &|p: &Path| std::fs::read(p)).unwrap()
}

fn ask(engine: &Engine, shop: &WorkshopFile, colour: Option<&str>, from: Option<&FinishFile>) -> Gamut {
    let conditions = Conditions::default();
    let target = colour.map(|c| parse_target(engine, c, &conditions).unwrap());
    let request = GamutRequest { target, workshops: std::slice::from_ref(shop), from };
    gamut(engine, &request, &conditions, |_, _| ()).unwrap()
}

fn matched(engine: &Engine, shop: &WorkshopFile, colour: &str) -> Match {
    let target = parse_target(engine, colour, &Conditions::default()).unwrap();
    let request = MatchRequest { target, workshop: shop, from: None };
    match_colour(engine, &request, &Conditions::default(), |_, _| ()).unwrap()
}

fn lab([l, a, b]: [f64; 3]) -> Lab {
    Lab { l, a, b }
}

/// Start, routes, machines and films: what makes a way that way.
fn key(start: &Value, steps: &[Value]) -> String {
    let words = steps.iter().map(|s| format!("{} {} {}", s["route"], s["machine"], s["film"]));
    format!("{} {}", start["base"], words.collect::<Vec<_>>().join(", "))
}

fn same_way<'g>(found: &'g Gamut, start: &Value, steps: &[Value]) -> &'g Reached {
    let wanted = key(start, steps);
    found.ways.iter().find(|w| key(&w.start, &w.steps) == wanted).unwrap_or_else(|| panic!("{wanted} is missing"))
}

/// Distance in the a*, b* plane from the middle of the nearest cell that is reached, in sides of a cell.
fn off(way: &Reached, side: f64, colour: [f64; 3]) -> f64 {
    let away = |a: f64, b: f64| (a - colour[1]).hypot(b - colour[2]) / side;
    way.cells.iter().map(|c| away(c.a, c.b)).fold(f64::INFINITY, f64::min)
}

/// Within its cell, or in a neighbour of a cell that the sampling hit: half a diagonal, and one cell more.
const NEIGHBOUR: f64 = std::f64::consts::FRAC_1_SQRT_2 + 1.0;
/// The search of `match` may be beaten by this (tests/laws/search.rs).
const BEATEN: f64 = crate::search::TOLERANCE;

#[test]
fn what_match_finds_is_reached_and_nothing_reached_is_nearer() {
    let engine = Engine::new().unwrap();
    let mut shop = bells(&engine);
    shop.metals.truncate(1);
    for colour in ["deep blue", "gold", "#b05a86"] {
        let (found, reach) = (matched(&engine, &shop, colour), ask(&engine, &shop, Some(colour), None));
        let wanted = lab(reach.target.as_ref().unwrap().lab);
        let mut compared = 0;
        for way in &found.ways {
            // What was ruled out before any search names no film.
            if way.steps.iter().any(|s| s["film"].is_null()) {
                continue;
            }
            let here = same_way(&reach, &way.start, &way.steps);
            let nearest = here.nearest.as_ref().unwrap();
            let delta_e = nearest.delta_e.unwrap();
            assert_eq!(Some(delta_e), way.delta_e, "{colour}, {}", here.title);
            assert_eq!(Some(nearest.lab), way.lab);
            assert!(off(here, reach.cell, nearest.lab) <= NEIGHBOUR, "{colour}, {}: {:?}", here.title, nearest.lab);
            let spots =
                here.hues.iter().flatten().map(|h| &h.spot).chain(&here.most_vivid).chain(&here.most_vivid_at_hue);
            let told = spots.map(|s| s.lab).chain(here.curve.iter().flat_map(|c| c.points.iter().map(|p| p.lab)));
            for reached in told {
                let away = ciede2000(lab(reached), wanted);
                assert!(
                    away >= delta_e - BEATEN,
                    "{colour}, {}: {reached:?} is {away} away, not {delta_e}",
                    here.title
                );
                assert!(off(here, reach.cell, reached) <= NEIGHBOUR, "{}: {reached:?} in no cell", here.title);
            }
            compared += 1;
        }
        assert!(compared > 20, "{compared}");
    }
}

#[test]
fn ruled_out_here_is_ruled_out_there() {
    let engine = Engine::new().unwrap();
    let mut shop = bells(&engine);
    shop.coaters.truncate(1);
    shop.anodisers[0].isolated = Some(false);
    shop.metals.push(metal("aluminium"));
    let refusals = |ways: Vec<(&Value, &Vec<String>, bool)>| {
        let mut list: Vec<String> =
            ways.iter().filter(|w| w.2).map(|(start, why, _)| format!("{} {why:?}", start["base"])).collect();
        list.sort();
        list
    };
    let no_film = |steps: &[Value]| steps.iter().all(|s| s["film"].is_null());
    let found = matched(&engine, &shop, "gold");
    let reach = ask(&engine, &shop, None, None);
    let there = refusals(found.ways.iter().map(|w| (&w.start, &w.why_not, no_film(&w.steps))).collect());
    let here = refusals(reach.ways.iter().map(|w| (&w.start, &w.why_not, no_film(&w.steps))).collect());
    assert_eq!(here, there);
    assert!(here.iter().any(|w| w.contains("not isolated")), "{here:?}");
    for way in reach.ways.iter().filter(|w| !w.why_not.is_empty()) {
        assert!(way.cells.is_empty() && way.most_vivid.is_none() && way.kind.is_none(), "{}", way.title);
    }
}

#[test]
fn the_curve_of_an_anodised_metal_is_its_ribbon() {
    let engine = Engine::new().unwrap();
    let mut shop = bells(&engine);
    shop.coaters.clear();
    let reach = ask(&engine, &shop, None, None);
    let way = reach.ways.iter().find(|w| w.title.starts_with("titanium: anodise")).unwrap();
    let curve = way.curve.as_ref().unwrap();
    assert_eq!((curve.setting, curve.unit), ("voltage_v", "V"));
    let points = &curve.points;
    assert!(points[0].value.abs() < 1e-9 && (points[points.len() - 1].value - 110.0).abs() < 1e-9);
    for pair in points.windows(2) {
        let (near, thin) = (ciede2000(lab(pair[0].lab), lab(pair[1].lab)), pair[1].thickness_nm - pair[0].thickness_nm);
        let apart = (pair[0].lab[1] - pair[1].lab[1]).hypot(pair[0].lab[2] - pair[1].lab[2]);
        assert!((near <= 2.0 && apart <= 2.0) || thin <= 0.1, "{pair:?} differ by {near}");
    }
    for point in points.iter().step_by(5) {
        // A ribbon of two colours, of which the first or the last is the one.
        let (from, to) = if point.value < 100.0 { (point.value, 110.0) } else { (0.0, point.value) };
        let axis = Axis::Volts { electrolyte: Some("citric-acid".to_owned()) };
        let request = RibbonRequest { finish: bare("titanium"), axis, from, to, points: 2, tilts_deg: vec![0.0] };
        let row = &ribbon(&engine, &request, &Conditions::default()).unwrap().rows[0];
        let there = &row.points[usize::from(point.value >= 100.0)];
        for i in 0..3 {
            assert!((there.lab[i] - point.lab[i]).abs() < 1e-6, "{} V: {:?} {:?}", point.value, there.lab, point.lab);
        }
    }
}

/// Every 0.05 V, whatever the colour does: none is more vivid in its sector than what is told by more than neighbours of
/// the curve stand apart, and none lies outside the cells.
#[test]
fn a_fine_grid_finds_nothing_that_is_not_told() {
    let engine = Engine::new().unwrap();
    let mut shop = bells(&engine);
    shop.coaters.clear();
    let reach = ask(&engine, &shop, None, None);
    let eye = Eye::new(&engine, &Conditions::default()).unwrap();
    let way = reach.ways.iter().find(|w| w.title.starts_with("titanium: anodise")).unwrap();
    let law = &engine.library().growth("titanium").unwrap().laws[0];
    let built = engine.build(&coated(("titanium", ""), ("titania-anodic", ""), 0.0)).unwrap();
    let mut values = built.values().clone();
    for step in 0..=2_200 {
        values.films[0].thickness_nm = law.offset_nm + law.ratio_nm_per_v * 0.05 * f64::from(step);
        let seen = eye.lab(&built, &values).unwrap();
        assert!(off(way, reach.cell, [seen.l, seen.a, seen.b]) <= NEIGHBOUR, "{seen:?}");
        let lch = seen.lch();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 36")]
        let told = way.hues[(lch.h / 10.0) as usize % 36].as_ref().map_or(10.0, |h| h.spot.chroma);
        assert!(lch.c <= told + 2.0, "{seen:?}: {} over {told}", lch.c);
    }
}

#[test]
fn texture_spread_and_water_take_and_are_named() {
    let engine = Engine::new().unwrap();
    let mut shop = bells(&engine);
    shop.metals.truncate(1);
    shop.coaters.clear();
    shop.ovens.clear();
    let clean = ask(&engine, &shop, None, None);
    let blasted = engine.library().textures().iter().find(|t| t.word.as_deref() == Some("blasted")).unwrap();
    shop.metals[0].texture = blasted.clone();
    shop.anodisers[0].spread = 0.10;
    let rough = ask(&engine, &shop, None, None);
    let vivid = |g: &Gamut| g.ways[0].most_vivid.as_ref().unwrap().chroma;
    assert!(vivid(&rough) < vivid(&clean) - 5.0, "{} {}", vivid(&rough), vivid(&clean));
    assert!(rough.ways[0].area < clean.ways[0].area);
    let reasons = rough.ways[0].reasons.join(" ");
    let ideal = format!("would reach chroma {:.0}; here {:.0}", vivid(&clean), vivid(&rough));
    assert!(reasons.contains(&ideal), "{ideal}: {reasons}");
    assert!(reasons.contains("uneven by up to 10 %") && reasons.contains("facets"), "{reasons}");
    // What is told of a colour is what `look` sees of its finish.
    let spot = rough.ways[0].most_vivid.as_ref().unwrap();
    let mut finish = coated(("titanium", ""), ("titania-anodic", ""), 0.0);
    finish.base.texture = blasted.clone();
    finish.films[0].spread = 0.10;
    finish.films[0].thickness_nm = spot.finish["film"][0]["thickness_nm"].as_f64().unwrap();
    assert_eq!(Some(look(&engine, &finish, &Conditions::default()).unwrap().lab), Some(spot.lab));
    // Wet: the contrast of film and surroundings falls.
    let wet = FinishFile { medium: MediumAbove::Water, ..bare("titanium") };
    let wet = ask(&engine, &shop, None, Some(&wet));
    assert!(wet.ways[0].reasons.iter().any(|r| r.contains("it is seen wet")), "{:?}", wet.ways[0].reasons);
}

/// A supply that stops at 30 V is why there is no vivid violet; the reason says what would do it.
#[test]
fn a_short_range_is_named() {
    let engine = Engine::new().unwrap();
    let mut shop = bells(&engine);
    shop.metals.truncate(1);
    shop.coaters.clear();
    shop.ovens.clear();
    shop.anodisers[0].max_voltage_v = 30.0;
    let short = ask(&engine, &shop, None, None);
    let reasons = short.ways[0].reasons.join(" ");
    assert!(reasons.contains("bench supply gives at most 30 V"), "{reasons}");
    // All green and gold of the first turn of the ribbon is out of reach.
    assert!(!short.kinds[0].gaps_deg.is_empty());
}

#[test]
fn without_a_workshop_every_metal_with_a_law_takes_part() {
    let engine = Engine::new().unwrap();
    let request = GamutRequest { target: None, workshops: &any_workshop(&engine), from: None };
    let reach = gamut(&engine, &request, &Conditions::default(), |_, _| ()).unwrap();
    let kinds: Vec<&str> = reach.kinds.iter().map(|k| k.title.as_str()).collect();
    for wanted in ["anodise titanium", "anodise niobium", "anodise tantalum", "anodise zirconium", "heat titanium"] {
        assert!(kinds.contains(&wanted), "{kinds:?}");
    }
    for wanted in ["heat stainless-austenitic", "heat carbon-steel", "lay a nitride", "lay a nitride, then heat"] {
        assert!(kinds.contains(&wanted), "{kinds:?}");
    }
    for kind in &reach.kinds {
        let widest = kind.ways.iter().map(|w| reach.ways[*w].area).fold(0.0, f64::max);
        let sum: f64 = kind.ways.iter().map(|w| reach.ways[*w].area).sum();
        assert!(kind.area >= widest && kind.area <= sum, "{}: {} {widest} {sum}", kind.title, kind.area);
        for (s, way) in kind.hues.iter().enumerate() {
            let best = kind.ways.iter().filter_map(|w| reach.ways[*w].hues[s].as_ref()).map(|h| h.spot.chroma);
            let best = best.fold(f64::NEG_INFINITY, f64::max);
            let told = way.map_or(f64::NEG_INFINITY, |w| reach.ways[w].hues[s].as_ref().unwrap().spot.chroma);
            assert!((best - told).abs() < 1e-12 || (best.is_infinite() && told.is_infinite()), "{}", kind.title);
        }
    }
}
