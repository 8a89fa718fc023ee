//! The search is global: no allowed setting on a fine grid comes nearer to a target than what `match` found.
//!
//! 200 seeded targets: half are colours that another published table gives, half are random. One way each.

use colour::{Lab, ciede2000};
use huewright::finish::Eye;
use huewright::look::look;
use huewright::matching::{MatchRequest, match_colour};
use huewright::{Conditions, Engine, parse_target};
use huewright_tests::accuracy::{Row, record};
use huewright_tests::chance::Chance;
use huewright_tests::finishes::{coated, material};
use library::{
    Anodiser, Bath, Coater, CoaterFilm, CoaterKind, FinishFile, Metal, Meter, Oven, Ripple, SupplyKind, TextureSpec,
    WorkshopFile,
};

/// A setting of the grid may be nearer by this much: half the least difference that a careful eye could tell is 0.5.
pub const TOLERANCE: f64 = 0.05;

pub fn metal(id: &str) -> Metal {
    Metal {
        id: id.to_owned(),
        source: None,
        films: Vec::new(),
        texture: TextureSpec { word: None, roughness_nm: 0.0, slope_deg: 0.0, assumed: None },
        tempered_c: None,
    }
}

pub fn workshop(base: &str) -> WorkshopFile {
    WorkshopFile {
        name: None,
        metals: vec![metal(base)],
        baths: Vec::new(),
        anodisers: Vec::new(),
        ovens: Vec::new(),
        coaters: Vec::new(),
        licensed_hydrofluoric: false,
    }
}

pub fn coater(films: &[&str], thinnest_nm: f64, thickest_nm: Option<f64>) -> Coater {
    Coater {
        name: "machine".to_owned(),
        kind: CoaterKind::Sputter,
        films: films.iter().map(|id| CoaterFilm { material: (*id).to_owned(), composition: None }).collect(),
        thinnest_nm,
        thickest_nm,
        repeatability: 0.05,
        repeatability_composition: None,
        rate_nm_per_min: None,
        part_temperature_c: None,
        spread: 0.0,
        shutter_s: 0.0,
        pressure_pa: None,
        load: None,
        targets: Vec::new(),
        gases: Vec::new(),
    }
}

fn anodising(base: &str) -> WorkshopFile {
    let mut shop = workshop(base);
    shop.baths.push(Bath {
        name: "jar".to_owned(),
        electrolyte: "citric-acid".to_owned(),
        percent: None,
        dose: None,
        temperature_c: 20.0,
    });
    shop.anodisers.push(Anodiser {
        name: "supply".to_owned(),
        kind: SupplyKind::Regulated,
        ripple: Ripple::None,
        ripple_given: true,
        meter: Meter::Peak,
        meter_given: true,
        step_v: None,
        internal_ohm: None,
        isolated: Some(true),
        max_voltage_v: 100.0,
        max_current_a: None,
        repeatability_v: 0.5,
        gap_mm: None,
        spread: 0.0,
    });
    shop
}

/// Colours on the fine grid of one setting.
fn colours(engine: &Engine, finish: &FinishFile, thicknesses_nm: impl Iterator<Item = f64>) -> Vec<Lab> {
    let eye = Eye::new(engine, &Conditions::default()).unwrap();
    let built = engine.build(finish).unwrap();
    let mut values = built.values().clone();
    thicknesses_nm
        .map(|nm| {
            values.films[0].thickness_nm = nm;
            eye.lab(&built, &values).unwrap()
        })
        .collect()
}

/// Half colours of another table's ribbon, half random.
fn targets(engine: &Engine, other: &FinishFile, thickest_nm: f64, count: usize, seed: u64) -> Vec<Lab> {
    let mut chance = Chance::new(seed);
    let reachable: Vec<f64> = (0..count / 2).map(|_| chance.between(0.0, thickest_nm)).collect();
    let mut list = colours(engine, other, reachable.into_iter());
    while list.len() < count {
        let lab = Lab { l: chance.between(8.0, 95.0), a: chance.between(-80.0, 80.0), b: chance.between(-90.0, 90.0) };
        list.push(lab);
    }
    list
}

/// How much nearer the grid comes than the match, at worst, and for which target.
fn beaten(engine: &Engine, shop: &WorkshopFile, grid: &[Lab], targets: &[Lab]) -> (f64, String) {
    let mut worst = (f64::NEG_INFINITY, String::new());
    for lab in targets {
        let text = format!("lab({}, {}, {})", lab.l, lab.a, lab.b);
        let target = parse_target(engine, &text, &Conditions::default()).unwrap();
        let request = MatchRequest { target, workshop: shop, from: None };
        let found = match_colour(engine, &request, &Conditions::default(), |_, _| ()).unwrap();
        let settable: Vec<_> = found.ways.iter().filter(|w| w.delta_e.is_some()).collect();
        assert_eq!(settable.len(), 1, "one way each: {:?}", found.ways);
        let way = settable[0];
        // What is told is what is seen: the same colour as `look` gives for the finish.
        let seen = look(engine, way.made.as_ref().unwrap(), &Conditions::default()).unwrap().lab;
        assert_eq!(Some(seen), way.lab, "{text}");
        let [l, a, b] = seen;
        assert!((ciede2000(Lab { l, a, b }, *lab) - way.delta_e.unwrap()).abs() <= 1e-12);
        let nearest = grid.iter().map(|c| ciede2000(*c, *lab)).fold(f64::INFINITY, f64::min);
        let by = way.delta_e.unwrap() - nearest;
        if by > worst.0 {
            let at = format!("lab({:.2}, {:.2}, {:.2})", lab.l, lab.a, lab.b);
            worst = (by, format!("{at}: {:.4} found, {nearest:.4} on the grid", way.delta_e.unwrap()));
        }
    }
    worst
}

fn check(key: &str, what: &str, count: usize, (by, at): (f64, String)) {
    record(
        &format!("search-{key}"),
        vec![Row {
            key: format!("search/{key}"),
            what: format!("{what}: by how much a fine grid beats match, worst of {count} targets"),
            source: "every setting of the grid tried".to_owned(),
            status: "law".to_owned(),
            expected: "never nearer".to_owned(),
            ours: if by <= 1e-6 { "never nearer".to_owned() } else { at },
            miss: by.max(0.0),
            tolerance: TOLERANCE,
            unit: "dE00".to_owned(),
            why: None,
        }],
    );
}

#[test]
fn anodised_titanium_by_voltage() {
    let engine = Engine::new().unwrap();
    let law = &engine.library().growth("titanium").unwrap().laws[0];
    let (offset, ratio) = (law.offset_nm, law.ratio_nm_per_v);
    let finish = coated(("titanium", ""), ("titania-anodic", ""), 0.0);
    // 0 to 100 V in steps of 0.05 V.
    let grid = colours(&engine, &finish, (0..=2_000).map(|i| offset + ratio * 0.05 * f64::from(i)));
    let other = coated(("titanium", "mash-1973"), ("titania-anodic", "sarkar-2019"), 0.0);
    let targets = targets(&engine, &other, 220.0, 70, 1);
    check(
        "1-volts",
        "anodised titanium, steps of 0.05 V",
        70,
        beaten(&engine, &anodising("titanium"), &grid, &targets),
    );
}

#[test]
fn anodised_niobium_by_voltage() {
    let engine = Engine::new().unwrap();
    let law = &engine.library().growth("niobium").unwrap().laws[0];
    let (offset, ratio) = (law.offset_nm, law.ratio_nm_per_v);
    let finish = coated(("niobium", ""), ("niobia", ""), 0.0);
    let grid = colours(&engine, &finish, (0..=2_000).map(|i| offset + ratio * 0.05 * f64::from(i)));
    let other = coated(("niobium", "golovashkin-1969"), ("niobia", "horcholle-2022"), 0.0);
    let targets = targets(&engine, &other, 350.0, 40, 2);
    check(
        "2-niobium",
        "anodised niobium, steps of 0.05 V",
        40,
        beaten(&engine, &anodising("niobium"), &grid, &targets),
    );
}

#[test]
fn sputtered_titania_by_thickness() {
    let engine = Engine::new().unwrap();
    let finish = coated(("stainless-austenitic", ""), ("titania-anodic", ""), 0.0);
    // 5 to 1000 nm in steps of 0.1 nm: nine orders.
    let grid = colours(&engine, &finish, (0..=9_950).map(|i| 5.0 + 0.1 * f64::from(i)));
    let other = coated(("stainless-ferritic", ""), ("titania-anodic", "franta-2015"), 0.0);
    let targets = targets(&engine, &other, 900.0, 50, 3);
    let mut shop = workshop("stainless-austenitic");
    shop.coaters.push(coater(&["titania-anodic"], 5.0, Some(1_000.0)));
    check("3-sputter", "titania laid on stainless, steps of 0.1 nm", 50, beaten(&engine, &shop, &grid, &targets));
}

#[test]
fn heated_titanium_by_thickness() {
    let engine = Engine::new().unwrap();
    let table = engine.library().oxidation("titanium").unwrap();
    let law = table.law.as_ref().unwrap();
    let heat = routes::heat::Heat {
        activation_kj_per_mol: law.activation_kj_per_mol,
        k0_nm2_per_s: law.k0_nm2_per_s,
        factor: law.factor,
        consumed: table.consumed,
        repeatability_c: 0.0,
    };
    let thickness = |c: f64, min: f64| heat.grow(c, min, 0.0, routes::Draw::default()).thickness_nm;
    let (low, high) =
        (thickness(law.valid_c[0], law.valid_minutes[0]), thickness(law.valid_c[1], law.valid_minutes[1]));
    let finish = coated(("titanium", ""), (&table.film, ""), 0.0);
    #[expect(clippy::cast_possible_truncation, reason = "a few hundred nanometres")]
    let count = ((high - low) / 0.1) as i32;
    let grid = colours(&engine, &finish, (0..=count).map(|i| low + 0.1 * f64::from(i)));
    let other = coated(("titanium", "palm-2018"), ("titania-anodic", "siefke-2016"), 0.0);
    let targets = targets(&engine, &other, high, 40, 4);
    let mut shop = workshop("titanium");
    shop.ovens.push(Oven { name: "kiln".to_owned(), max_temperature_c: 700.0, repeatability_c: 8.0, spread: 0.0 });
    check("4-heat", "heated titanium, steps of 0.1 nm", 40, beaten(&engine, &shop, &grid, &targets));
}

/// A satin surface and a film of uneven thickness: the search goes by flat colours and must still land on the true ones.
#[test]
fn satin_and_uneven() {
    let engine = Engine::new().unwrap();
    let law = &engine.library().growth("titanium").unwrap().laws[0];
    let (offset, ratio) = (law.offset_nm, law.ratio_nm_per_v);
    let satin = engine.library().textures().iter().find(|t| t.word.as_deref() == Some("satin")).unwrap().clone();
    let mut shop = anodising("titanium");
    shop.metals[0].texture = satin.clone();
    shop.anodisers[0].spread = 0.03;
    let mut finish = coated(("titanium", ""), ("titania-anodic", ""), 0.0);
    finish.base.texture = satin;
    finish.films[0].spread = 0.03;
    let grid = colours(&engine, &finish, (0..=2_000).map(|i| offset + ratio * 0.05 * f64::from(i)));
    let other = coated(("titanium", "mash-1973"), ("titania-anodic", "franta-2015"), 0.0);
    let targets = targets(&engine, &other, 220.0, 16, 5);
    check("7-satin", "anodised satin titanium, uneven by 0.03", 16, beaten(&engine, &shop, &grid, &targets));
}

/// `from` takes the place of the workshop's metals.
#[test]
fn a_part_that_is_given_is_the_start() {
    let engine = Engine::new().unwrap();
    let from = coated(("titanium", ""), ("titania-anodic", ""), 60.0);
    let target = parse_target(&engine, "gold", &Conditions::default()).unwrap();
    let shop = anodising("niobium");
    let request = MatchRequest { target, workshop: &shop, from: Some(&from) };
    let found = match_colour(&engine, &request, &Conditions::default(), |_, _| ()).unwrap();
    let made = found.ways[0].made.as_ref().unwrap();
    assert_eq!(made.base.material, material("titanium", ""));
    assert!(made.films[0].thickness_nm >= 60.0, "a bath never thins a film: {made:?}");
}
