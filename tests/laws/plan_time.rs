//! Growth in a bath through time: charge is Faraday's, closed forms hold where there are any, finer steps change nothing,
//! and a lower voltage never grows a finished film.

use huewright::Engine;
use huewright::plan::Plan;
use huewright_tests::chance::Chance;
use huewright_tests::plans::{bells, done, field, last_route, top_nm};
use routes::anodising::{Course, Drive, Stop, anodise};
use routes::cell::{Cell, Zone};
use routes::field::HighField;

const FREE: Cell = Cell { bath_ohm_cm2: 0.0, series_ohm: 0.0, most_a: None, cathode_v: 0.0 };

fn run(film: &HighField, cell: &Cell, zones: &[Zone], volts: &dyn Fn(f64) -> f64, after_s: f64, nm: f64) -> Course {
    let drive = Drive { voltage_v: volts, immersed: &|_, _| 1.0, longest_s: f64::INFINITY };
    anodise(film, cell, zones, &drive, Stop { after_s, current_a: None, thickness_nm: None }, nm)
}

/// Titania of the library, from the offset on: its law is then a straight line through zero.
fn titania() -> HighField {
    let mut film = field(&Engine::new().unwrap(), "titanium", "joined");
    film.law.offset_nm = 0.0;
    film
}

/// x exp(x) E2(x), by the continued fraction of the exponential integrals (Abramowitz and Stegun 5.1.22).
fn scaled_e2(x: f64) -> f64 {
    let mut tail = x;
    for k in (1..=200).rev() {
        let k = f64::from(k);
        // E_n(x) = exp(-x) / (x + n/(1 + 1/(x + (n+1)/(1 + 2/(x + ...))))), with n = 2.
        tail = x + (k + 1.0) / (1.0 + k / tail);
    }
    x / tail
}

/// Time in which a film under constant volts grows from `from` to `to` nm, without resistance or limit:
/// q / i_ref e^b [d E2(a/d)], a = b k V. This is the growth law integrated exactly.
fn exact_s(film: &HighField, volts: f64, from: f64, to: f64) -> f64 {
    let a = film.slope * film.ratio_nm_per_v() * volts;
    let q_over_i = film.oxide.coulomb_per_cm2_nm() / (1e-3 * film.at_ma_per_cm2);
    // e^b d E2(a/d) = exp(b - a/d) d^2/a [x e^x E2(x)], in an order without overflow.
    let piece = |d: f64| (film.slope - a / d).exp() * d * d / a * scaled_e2(a / d);
    q_over_i * (piece(to) - piece(from))
}

#[test]
fn a_held_voltage_follows_the_exponential_integral() {
    let film = titania();
    let volts = 50.0;
    let start = 100.0;
    for after_s in [0.01, 0.1, 1.0, 10.0, 100.0, 1000.0] {
        let zone = [Zone { area_cm2: 1.0, thickness_nm: start }];
        let end = run(&film, &FREE, &zone, &|_| volts, after_s, 1e-8).end().clone();
        let exact = exact_s(&film, volts, start, end.thickness_nm[0]);
        assert!((exact / after_s - 1.0).abs() < 1e-5, "{after_s} s: {exact} s for {} nm", end.thickness_nm[0]);
    }
}

/// A08, A09 (derived): i = i0 / (1 + t / tau) with tau = q d / (i0 B E), and d grows by ln(i0/i) / (B E). To first order
/// in the growth: the error is that of the growth itself.
#[test]
fn a_held_voltage_decays_as_one_over_time() {
    let film = titania();
    for (start, volts) in [(100.0, 100.0 / 1.95), (50.0, 53.0 / 1.95), (150.0, 150.0 / 1.95)] {
        let zone = [Zone { area_cm2: 2.0, thickness_nm: start }];
        let first = film.current_a_per_cm2(start, volts).0;
        let b = film.slope * film.ratio_nm_per_v() * volts / start;
        let tau = film.oxide.coulomb_per_cm2_nm() * start / (first * b);
        for times in [0.02, 0.2, 1.0, 5.0, 20.0] {
            let end = run(&film, &FREE, &zone, &|_| volts, times * tau, 1e-8).end().clone();
            let grown = end.thickness_nm[0] / start - 1.0;
            let fall = 2.0 * first / end.current_a;
            // The field falls with 1/d, not with 1 - growth: relative to second order, times B E in the exponent.
            assert!(
                (fall / (1.0 + times) - 1.0).abs() < 1.6 * b * grown * grown + 2.5 * grown + 1e-6,
                "{times}: {fall}, {grown}"
            );
            let expected = (1.0 + times).ln() / b;
            assert!((grown / expected - 1.0).abs() < 0.1, "{times}: {grown} {expected}");
        }
    }
}

/// A07 (derived): a decade of current is 5 % of the ratio, exactly 1 / (1 + ln 10 / b).
#[test]
fn a_ramp_without_resistance_grows_in_proportion() {
    let film = titania();
    let q = film.oxide.coulomb_per_cm2_nm();
    for volts_per_s in [0.05, 0.25, 1.0, 4.0] {
        let end = run(
            &film,
            &FREE,
            &[Zone { area_cm2: 1.0, thickness_nm: 0.0 }],
            &|t| volts_per_s * t,
            60.0 / volts_per_s,
            1e-7,
        )
        .end()
        .clone();
        // Self-similar: d = k V / (1 + ln(i/i_ref)/b) and i = q dd/dt, solved by repetition.
        let i_ref = 1e-3 * film.at_ma_per_cm2;
        let mut current = film.ramp_a_per_cm2(volts_per_s);
        for _ in 0..100 {
            current = q * film.ratio_nm_per_v() * volts_per_s / (1.0 + (current / i_ref).ln() / film.slope);
        }
        assert!((end.current_a / current - 1.0).abs() < 1e-5, "{volts_per_s} V/s: {} {current}", end.current_a);
        let thickness = current / q * 60.0 / volts_per_s;
        assert!((end.thickness_nm[0] / thickness - 1.0).abs() < 1e-6, "{} {thickness}", end.thickness_nm[0]);
    }
    let ratio_at = |ma: f64| 1.0 / (1.0 + (ma / film.at_ma_per_cm2).ln() / film.slope);
    assert!((ratio_at(10.0) / ratio_at(1.0) - (1.0 - 0.048)).abs() < 1e-3);
}

/// A limit of current alone: thickness is the charge over q, to the moment at which the volts are reached.
#[test]
fn under_a_limit_thickness_is_charge() {
    let film = titania();
    let cell = Cell { most_a: Some(0.01), ..FREE };
    let zone = [Zone { area_cm2: 4.0, thickness_nm: 0.0 }];
    for after_s in [1.0, 10.0, 50.0] {
        let end = run(&film, &cell, &zone, &|_| 90.0, after_s, 1e-6).end().clone();
        let expected = 0.01 * after_s / 4.0 / film.oxide.coulomb_per_cm2_nm();
        assert!(end.limited && (end.thickness_nm[0] / expected - 1.0).abs() < 1e-9, "{end:?} {expected}");
    }
}

/// Over the areas of a plan: what flowed is what grew, by Faraday's law.
#[test]
fn the_charge_of_a_plan_is_faradays() {
    let engine = Engine::new().unwrap();
    let read = |name: &str| std::fs::read_to_string(bells().join(name)).unwrap();
    let charge = |plan: &Plan, step: usize| {
        plan.steps.iter().find(|s| s.number == step).unwrap().sizing.as_ref().unwrap().charge_c
    };
    let q = field(&engine, "titanium", "joined").oxide.coulomb_per_cm2_nm();
    let share = |plan: &Plan, name: &str| plan.areas.iter().find(|a| a.name == name).unwrap().share;

    // Two areas grown together from bare: the native film was there.
    let both = read("recipe-two-colours.toml").split("[[step]]\npreparation = \"polish\"").next().unwrap().to_owned();
    let plan = done(&engine, &both);
    let cm2 = plan.part.as_ref().unwrap().area_cm2;
    let grown: f64 = ["rim", "crown"].iter().map(|a| cm2 * share(&plan, a) * (top_nm(&plan, a) - 4.0)).sum();
    assert!((charge(&plan, 2) / (grown * q) - 1.0).abs() < 1e-9, "{} {}", charge(&plan, 2), grown * q);

    // The crown alone again, the rim beside it in the bath.
    let plan = done(&engine, &read("recipe-two-colours.toml"));
    let grown = cm2 * share(&plan, "crown") * (top_nm(&plan, "crown") - 4.0);
    assert!((charge(&plan, 4) / (grown * q) - 1.0).abs() < 1e-9, "{} {}", charge(&plan, 4), grown * q);

    // Slice by slice along a fade.
    let plan = done(&engine, &read("recipe-fade.toml"));
    let along = plan.areas[0].along.as_ref().unwrap();
    #[expect(clippy::cast_precision_loss, reason = "some tens")]
    let slice = cm2 / along.len() as f64;
    let grown: f64 = along.iter().map(|p| slice * (p.thickness_nm - 4.0)).sum();
    assert!((charge(&plan, 2) / (grown * q) - 1.0).abs() < 1e-9, "{} {}", charge(&plan, 2), grown * q);

    // Tantalum costs a fiftieth more.
    let text = "schema = 1\n[part]\nmetal = \"tantalum\"\n[part.shape]\nkind = \"sphere\"\ndiameter_mm = 12\n\
                [[step]]\nroute = \"anodise\"\nvoltage_v = 60\n";
    let plan = done(&engine, text);
    let oxide = field(&engine, "tantalum", "memory").oxide;
    let grown = plan.part.as_ref().unwrap().area_cm2 * (top_nm(&plan, "whole") - 3.3);
    let whole = 10.0 * 96_485.332_12 * 8.0 / 441.893 * 1e-7 * grown;
    assert!((charge(&plan, 1) * 0.98 / whole - 1.0).abs() < 1e-9, "{} {whole} {oxide:?}", charge(&plan, 1));
}

/// A trace is even: time and charge rise, the film never thins, the current stays under the limit, the ends are those of
/// the step.
#[test]
fn a_trace_rises() {
    let engine = Engine::new().unwrap();
    for name in ["recipe-fade.toml", "recipe-two-colours.toml", "recipe-kiln.toml"] {
        let plan = done(&engine, &std::fs::read_to_string(bells().join(name)).unwrap());
        for step in plan.steps.iter().filter(|s| s.trace.is_some()) {
            let t = step.trace.as_ref().unwrap();
            let n = t.time_s.len();
            assert!((2..=240).contains(&n), "{n}");
            for column in [&t.voltage_v, &t.current_a, &t.charge_c, &t.temperature_c] {
                assert!(column.is_empty() || column.len() == n, "{name}");
            }
            assert!(t.thickness_nm.len() == n && t.dry.len() == n && t.name.len() == n);
            assert_eq!(t.wet.len(), if step.route == "heat" { 0 } else { n }, "nothing is wet in an oven");
            assert!(t.time_s.windows(2).all(|w| w[1] > w[0]), "{name}: {:?}", t.time_s);
            assert!(t.thickness_nm.windows(2).all(|w| w[1] >= w[0]), "{name}");
            assert!(t.charge_c.windows(2).all(|w| w[1] >= w[0]), "{name}");
            assert!((t.time_s[n - 1] - step.seconds.unwrap()).abs() < 1e-6, "{name}");
            let sizing = step.sizing.as_ref();
            assert!(sizing.is_none_or(|s| (s.charge_c - t.charge_c[n - 1]).abs() < 1e-9), "{name}");
            for w in step.passed.windows(2) {
                assert!(w[0].name != w[1].name && w[0].to_s <= w[1].from_s + 1e-9, "{w:?}");
            }
        }
        assert!(last_route(&plan).seconds.unwrap() > 0.0);
    }
}

#[test]
fn halving_the_tolerance_moves_no_thickness_by_a_fiftieth() {
    let film = field(&Engine::new().unwrap(), "titanium", "joined");
    let mut chance = Chance::new(21);
    for _ in 0..40 {
        let zones: Vec<Zone> = (0..3)
            .map(|_| Zone { area_cm2: chance.between(1.0, 60.0), thickness_nm: chance.between(0.0, 60.0) })
            .collect();
        let cell = Cell {
            bath_ohm_cm2: chance.between(0.0, 3000.0),
            series_ohm: chance.between(0.0, 2.0),
            most_a: Some(chance.between(0.05, 5.0)),
            cathode_v: 0.0,
        };
        let (volts, ramp, after_s) =
            (chance.between(20.0, 110.0), chance.between(0.5, 20.0), chance.between(1.0, 120.0));
        let end = |nm: f64| run(&film, &cell, &zones, &|t| (ramp * t).min(volts), after_s, nm).end().clone();
        let (coarse, fine) = (end(1e-4), end(0.5e-4));
        for (a, b) in coarse.thickness_nm.iter().zip(&fine.thickness_nm) {
            assert!((a - b).abs() < 0.02, "{a} {b}: {zones:?} {cell:?} {volts} {ramp} {after_s}");
        }
    }
}

/// Over pairs of voltages at least a tenth apart: what the higher has finished, the lower does not grow.
#[test]
fn a_lower_voltage_never_grows_a_finished_film() {
    let engine = Engine::new().unwrap();
    let mut chance = Chance::new(22);
    for (metal, law) in
        [("titanium", "joined"), ("niobium", "room-temperature"), ("tantalum", "memory"), ("zirconium", "oxalic-2017")]
    {
        let film = field(&engine, metal, law);
        for _ in 0..10 {
            let high = chance.between(15.0, 60.0);
            let low = high * chance.between(0.1, 0.9);
            // Finished: the current has fallen to the reference, as a plan leaves it.
            let zone = [Zone { area_cm2: 1.0, thickness_nm: film.thickness_nm(high) }];
            let after = run(&film, &FREE, &zone, &|_| low, 600.0, 1e-8);
            let grown = after.end().thickness_nm[0] - zone[0].thickness_nm;
            // The current begins at i_ref exp(-b (1 - low/high)) and falls.
            let bound = |seconds: f64| {
                film.rate_nm_per_s(1e-3 * film.at_ma_per_cm2 * (-film.slope * (1.0 - low / high)).exp()) * seconds
            };
            assert!(
                grown >= 0.0 && grown <= bound(600.0) * (1.0 + 1e-6) + 1e-9,
                "{metal}: {grown} nm at {low} V after {high} V"
            );
            // Beyond a tenth apart: a minute adds less than a fifth of a volt; beyond a fifth, ten minutes add nothing.
            assert!(bound(60.0) < 0.4);
            assert!(low > 0.8 * high || grown < 0.05, "{metal}: {grown} nm at {low} V after {high} V");
        }
    }
}
