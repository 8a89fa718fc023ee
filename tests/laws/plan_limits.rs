//! Each limit of a plan: what is beyond it is refused, the limit is named, and the nearest that it tells works when it is
//! put in.

use huewright::Engine;
use huewright::plan::WhyNot;
use huewright_tests::accuracy::{Row, record};
use huewright_tests::chance::Chance;
use huewright_tests::plans::{planned, refused};

/// A sphere of titanium of 20 mm and a bench, each part of which a question may change.
struct Bench<'b> {
    metal: &'b str,
    salt: &'b str,
    supply: &'b str,
    oven_c: f64,
    step: String,
}

const SMOOTH: &str = "kind = \"regulated\"\nisolated = true\nmax_voltage_v = 400\nmax_current_a = 3";

impl Default for Bench<'_> {
    fn default() -> Self {
        Self { metal: "titanium", salt: "ammonium-sulfate", supply: SMOOTH, oven_c: 1000.0, step: String::new() }
    }
}

impl Bench<'_> {
    fn text(&self) -> String {
        format!(
            "schema = 1\n[part]\nmetal = \"{}\"\n[part.shape]\nkind = \"sphere\"\ndiameter_mm = 20\n\
             [[bath]]\nname = \"jar\"\nelectrolyte = \"{}\"\npercent = 1\n[[anodiser]]\nname = \"supply\"\n{}\n\
             [[oven]]\nname = \"kiln\"\nmax_temperature_c = {}\n\
             [[coater]]\nname = \"magnetron\"\nkind = \"sputter\"\nfilms = [\"tin\"]\nthinnest_nm = 10\nthickest_nm = 500\n\
             [[step]]\n{}\n",
            self.metal, self.salt, self.supply, self.oven_c, self.step
        )
    }
}

fn volts(v: f64) -> String {
    format!("route = \"anodise\"\nvoltage_v = {v}")
}

fn heat(temperature_c: f64, minutes: f64, more: &str) -> String {
    format!("route = \"heat\"\ntemperature_c = {temperature_c}\nminutes = {minutes}\n{more}")
}

/// The recipe with the nearest setting, a line `key = value`, in place of its own.
fn with_nearest(text: &str, why: &WhyNot) -> Option<String> {
    let nearest = why.nearest.as_ref()?;
    let (key, _) = nearest.split_once(" = ")?;
    let turned: Vec<&str> =
        text.lines().map(|line| if line.starts_with(&format!("{key} = ")) { nearest } else { line }).collect();
    let turned = turned.join("\n") + "\n";
    (turned != text).then_some(turned)
}

/// What becomes of the nearest setting: nothing, when it works.
fn again(engine: &Engine, text: &str, limit: &str) -> Option<String> {
    let why = refused(engine, text);
    assert_eq!(why.limit, limit, "{why:?}");
    let Some(turned) = with_nearest(text, &why) else { return Some(format!("no setting: {why:?}")) };
    let found = planned(engine, &turned);
    (!found.feasible).then(|| format!("{:?}, then: {}", why.nearest.unwrap_or_default(), found.why_not[0].words))
}

/// One row: how many of the questions are refused again with the nearest setting.
fn row(engine: &Engine, key: &str, limit: &str, what: &str, texts: &[String], why: Option<&str>) -> Row {
    let failed: Vec<String> = texts.iter().filter_map(|text| again(engine, text, limit)).collect();
    Row {
        key: format!("plan-limits/{key}"),
        what: format!("the nearest setting of a plan, put in: {what} ({} questions)", texts.len()),
        source: "none".to_owned(),
        status: "law".to_owned(),
        expected: "works".to_owned(),
        ours: failed.first().map_or("works".to_owned(), |first| format!("refused again, such as {first}")),
        #[expect(clippy::cast_precision_loss, reason = "a small count")]
        miss: failed.len() as f64,
        tolerance: 0.0,
        unit: "refused again".to_owned(),
        why: why.map(ToOwned::to_owned),
    }
}

fn supply_of(volts: f64) -> String {
    SMOOTH.replace("400", &volts.to_string())
}

fn anodising(engine: &Engine) -> Vec<Row> {
    let one = |bench: Bench<'_>| vec![bench.text()];
    let even = supply_of(62.0);
    let uneven = supply_of(62.46);
    let batteries = "kind = \"batteries\"\nisolated = true\nmax_voltage_v = 100\nstep_v = 9\nmax_current_a = 3";
    vec![
        row(
            engine,
            "supply-volts",
            "supply",
            "more than the supply gives",
            &one(Bench { supply: &even, step: volts(70.0), ..Bench::default() }),
            None,
        ),
        row(
            engine,
            "supply-volts-uneven",
            "supply",
            "more than a supply of 62.46 V gives",
            &one(Bench { supply: &uneven, step: volts(70.0), ..Bench::default() }),
            None,
        ),
        row(
            engine,
            "supply-batteries",
            "supply",
            "more than batteries give",
            &one(Bench { supply: batteries, step: volts(108.0), ..Bench::default() }),
            None,
        ),
        row(
            engine,
            "bath-sparks",
            "bath",
            "beyond the sparks of sulfuric acid",
            &one(Bench { salt: "sulfuric-acid", step: volts(90.0), ..Bench::default() }),
            None,
        ),
        row(
            engine,
            "law-volts",
            "law",
            "beyond the growth law",
            &one(Bench { step: volts(130.0), ..Bench::default() }),
            None,
        ),
        row(
            engine,
            "law-least-volts",
            "law",
            "below the law of vinegar",
            &one(Bench { salt: "acetic-acid", step: volts(12.0), ..Bench::default() }),
            None,
        ),
    ]
}

fn heating(engine: &Engine) -> Vec<Row> {
    let kiln =
        |oven_c: f64, step: String| Bench { metal: "stainless-austenitic", oven_c, step, ..Bench::default() }.text();
    let mut chance = Chance::new(4);
    // Settings that are refused for their minutes, at any temperature of the law.
    let mut minutes = |low: f64, high: f64, more: &str| -> Vec<String> {
        (0..12)
            .map(|_| {
                let (c, m) = (chance.between(300.0, 590.0), chance.between(low, high));
                kiln(1000.0, heat((c * 10.0).round() / 10.0, (m * 100.0).round() / 100.0, more))
            })
            .collect()
    };
    let short = minutes(0.5, 9.0, "ramp_c_per_min = 100\ncool_minutes = 1");
    let long = minutes(245.0, 2000.0, "");
    vec![
        row(engine, "oven", "oven", "hotter than the kiln", &[kiln(430.0, heat(480.0, 60.0, ""))], None),
        row(
            engine,
            "oven-uneven",
            "oven",
            "hotter than a kiln of 412.7 C",
            &[kiln(412.7, heat(480.0, 60.0, ""))],
            None,
        ),
        row(
            engine,
            "oven-and-law",
            "oven",
            "hotter than a kiln of 700 C, which the law does not reach",
            &[kiln(700.0, heat(720.0, 60.0, ""))],
            None,
        ),
        row(
            engine,
            "oven-below-law",
            "oven",
            "a kiln of 200 C, where the law begins at 250 C",
            &[kiln(200.0, heat(300.0, 60.0, ""))],
            Some("no setting of this kiln works: another is advised, in words"),
        ),
        row(engine, "law-hot", "law", "hotter than the law", &[kiln(1000.0, heat(640.0, 60.0, ""))], None),
        row(engine, "law-cool", "law", "cooler than the law", &[kiln(1000.0, heat(200.0, 60.0, ""))], None),
        row(engine, "law-short", "law", "shorter than the law", &short, None),
        row(engine, "law-long", "law", "longer than the law", &long, None),
    ]
}

fn laying(engine: &Engine) -> Vec<Row> {
    let coat = |film: &str, nm: f64| {
        Bench { step: format!("route = \"sputter\"\nfilm = \"{film}\"\nthickness_nm = {nm}"), ..Bench::default() }
            .text()
    };
    vec![
        row(engine, "coater-thin", "coater", "thinner than the coater lays", &[coat("tin", 4.0)], None),
        row(engine, "coater-thick", "coater", "thicker than the coater lays", &[coat("tin", 900.0)], None),
    ]
}

/// A film that is there already: the volts that it tells are those that it has, and a tenth more is above them.
fn above(engine: &Engine) -> Row {
    let two = |second: f64| {
        Bench { step: format!("{}\n[[step]]\n{}", volts(30.0), volts(second)), ..Bench::default() }.text()
    };
    let nearest = refused(engine, &two(20.0)).nearest.unwrap();
    let told: f64 = nearest.strip_prefix("voltage_v above ").unwrap().split(',').next().unwrap().parse().unwrap();
    let found = planned(engine, &two(told + 0.1));
    Row {
        key: "plan-limits/order-volts".to_owned(),
        what: "a tenth of a volt above what a plan tells for a film that is there already".to_owned(),
        source: "none".to_owned(),
        status: "law".to_owned(),
        expected: "works".to_owned(),
        ours: found.why_not.first().map_or("works".to_owned(), |w| format!("refused again: {}", w.words)),
        miss: if found.feasible { 0.0 } else { 1.0 },
        tolerance: 0.0,
        unit: "refused again".to_owned(),
        why: None,
    }
}

#[test]
fn the_nearest_setting_works() {
    let engine = Engine::new().unwrap();
    let mut rows = anodising(&engine);
    rows.extend(heating(&engine));
    rows.extend(laying(&engine));
    rows.push(above(&engine));
    record("plan-limits", rows);
}

/// A rise so slow that it alone grows more than the law knows: no time helps, and the advice is a quicker rise.
#[test]
fn a_rise_that_is_too_slow_is_told_as_such() {
    let engine = Engine::new().unwrap();
    let kiln = |ramp: &str| {
        let step = heat(600.0, 20.0, &format!("ramp_c_per_min = {ramp}"));
        Bench { metal: "stainless-austenitic", step, ..Bench::default() }.text()
    };
    let why = refused(&engine, &kiln("0.1"));
    assert!(why.limit == "law" && why.nearest.as_ref().unwrap().contains("ramp_c_per_min"), "{why:?}");
    assert!(planned(&engine, &kiln("10")).feasible);
}
