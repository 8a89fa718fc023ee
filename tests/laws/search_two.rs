//! The search in two numbers: two thicknesses, or a thickness and a composition, against a coarser grid.

use crate::search::{TOLERANCE, coater, workshop};
use colour::{Lab, ciede2000};
use huewright::finish::Eye;
use huewright::matching::{MatchRequest, match_colour};
use huewright::{Conditions, Engine, parse_target};
use huewright_tests::accuracy::{Row, record};
use huewright_tests::chance::Chance;
use huewright_tests::finishes::{coated, film, material};
use library::{FinishFile, WorkshopFile};

/// Lab of every thickness of the outermost film from `from_nm` in steps of `step_nm`.
fn line(engine: &Engine, finish: &FinishFile, from_nm: f64, step_nm: f64, count: u32, into: &mut Vec<Lab>) {
    let eye = Eye::new(engine, &Conditions::default()).unwrap();
    let built = engine.build(finish).unwrap();
    let mut values = built.values().clone();
    for i in 0..count {
        values.films.last_mut().unwrap().thickness_nm = from_nm + step_nm * f64::from(i);
        into.push(eye.lab(&built, &values).unwrap());
    }
}

/// Colours of settings between the grid's, and random ones.
fn targets(engine: &Engine, random_finish: impl Fn(&mut Chance) -> FinishFile, count: usize, seed: u64) -> Vec<Lab> {
    let mut chance = Chance::new(seed);
    let eye = Eye::new(engine, &Conditions::default()).unwrap();
    (0..count)
        .map(|i| {
            if i % 2 == 0 {
                let built_finish = random_finish(&mut chance);
                let built = engine.build(&built_finish).unwrap();
                eye.lab(&built, built.values()).unwrap()
            } else {
                Lab { l: chance.between(15.0, 90.0), a: chance.between(-60.0, 60.0), b: chance.between(-70.0, 70.0) }
            }
        })
        .collect()
}

/// The nearest that `match` comes by any way of `steps` steps.
fn found(engine: &Engine, shop: &WorkshopFile, lab: Lab, steps: usize) -> f64 {
    let text = format!("lab({}, {}, {})", lab.l, lab.a, lab.b);
    let target = parse_target(engine, &text, &Conditions::default()).unwrap();
    let request = MatchRequest { target, workshop: shop, from: None };
    let answer = match_colour(engine, &request, &Conditions::default(), |_, _| ()).unwrap();
    let ways = answer.ways.iter().filter(|w| w.steps.len() == steps);
    ways.filter_map(|w| w.delta_e).fold(f64::INFINITY, f64::min)
}

fn check(key: &str, what: &str, engine: &Engine, shop: &WorkshopFile, steps: usize, grid: &[Lab], targets: &[Lab]) {
    let mut worst = (f64::NEG_INFINITY, String::new());
    for lab in targets {
        let nearest = grid.iter().map(|c| ciede2000(*c, *lab)).fold(f64::INFINITY, f64::min);
        let ours = found(engine, shop, *lab, steps);
        if ours - nearest > worst.0 {
            let at = format!("lab({:.2}, {:.2}, {:.2})", lab.l, lab.a, lab.b);
            worst = (ours - nearest, format!("{at}: {ours:.3} found, {nearest:.3} on the grid"));
        }
    }
    record(
        &format!("search-{key}"),
        vec![Row {
            key: format!("search/{key}"),
            what: format!("{what}: by how much the grid beats match, worst of {} targets", targets.len()),
            source: "every setting of the grid tried".to_owned(),
            status: "law".to_owned(),
            expected: "never nearer".to_owned(),
            ours: if worst.0 <= 1e-6 { "never nearer".to_owned() } else { worst.1 },
            miss: worst.0.max(0.0),
            tolerance: TOLERANCE,
            unit: "dE00".to_owned(),
            why: None,
        }],
    );
}

/// A nitride and titania upon it, 20 to 400 nm and 5 to 250 nm.
#[test]
fn two_films() {
    let engine = Engine::new().unwrap();
    let with = |below: f64| {
        let mut finish = coated(("stainless-austenitic", ""), ("zrn", ""), below);
        finish.films.push(film(material("titania-anodic", ""), 5.0));
        finish
    };
    let mut grid = Vec::new();
    for below in (20..=400).step_by(5) {
        line(&engine, &with(f64::from(below)), 5.0, 0.5, 491, &mut grid);
    }
    let random = |chance: &mut Chance| {
        let mut finish = with(chance.between(20.0, 400.0));
        finish.films[1].thickness_nm = chance.between(5.0, 250.0);
        finish
    };
    let targets = targets(&engine, random, 24, 11);
    let mut shop = workshop("stainless-austenitic");
    shop.coaters.push(coater(&["zrn"], 20.0, Some(400.0)));
    let mut second = coater(&["titania-anodic"], 5.0, Some(250.0));
    second.name = "second machine".to_owned();
    shop.coaters.push(second);
    check("5-two-films", "nitride and titania on stainless, 5 by 0.5 nm", &engine, &shop, 2, &grid, &targets);
}

/// A dark nitride of set composition on titanium nitride.
fn dark_nitride(composition: f64) -> FinishFile {
    let mut finish = coated(("tin", ""), ("tialn", ""), 5.0);
    finish.films[0].composition = Some(composition);
    finish
}

/// The compositions that shops make, in 80 steps, by 5 to 300 nm in steps of 0.5 nm; and those compositions.
fn dark_nitrides(engine: &Engine) -> (Vec<Lab>, [f64; 2]) {
    let made @ [from, to] = engine.library().entry("tialn").unwrap().family.as_ref().unwrap().made;
    let mut grid = Vec::new();
    for i in 0..=80 {
        line(engine, &dark_nitride(from + (to - from) * f64::from(i) / 80.0), 5.0, 0.5, 591, &mut grid);
    }
    (grid, made)
}

fn dark_workshop() -> WorkshopFile {
    let mut shop = workshop("tin");
    shop.coaters.push(coater(&["tialn"], 5.0, Some(300.0)));
    shop
}

#[test]
fn thickness_and_composition() {
    let engine = Engine::new().unwrap();
    let (grid, [from, to]) = dark_nitrides(&engine);
    let random = |chance: &mut Chance| {
        let mut finish = dark_nitride(chance.between(from, to));
        finish.films[0].thickness_nm = chance.between(5.0, 300.0);
        finish
    };
    let targets = targets(&engine, random, 24, 12);
    let what = "dark nitride on nitride, 80 steps of composition by 0.5 nm";
    check("6-composition", what, &engine, &dark_workshop(), 1, &grid, &targets);
}

/// Where the film is all but opaque its colour hangs on the composition alone, and the scan by thickness is flat. These
/// colours were met among 600 random ones.
#[test]
fn composition_of_an_opaque_film() {
    let engine = Engine::new().unwrap();
    let (grid, _) = dark_nitrides(&engine);
    let targets = [(51.998, 7.695, -5.077), (54.338, 3.278, 2.253), (54.388, 8.526, 3.499), (53.387, -5.468, -2.663)]
        .map(|(l, a, b)| Lab { l, a, b });
    let what = "opaque dark nitride, 80 steps of composition by 0.5 nm";
    check("8-opaque", what, &engine, &dark_workshop(), 1, &grid, &targets);
}
