//! Why loads came out as they did: the demo's log, and many logs whose truth comes from other constants than the program's.

use colour::ciede2000;
use huewright::Engine;
use huewright::correct::Correction;
use huewright_tests::accuracy::{Row, record, two_digits};
use huewright_tests::chance::Chance;
use huewright_tests::loads::{Gone, SECONDS, Truth, corrected, log, normal, ordered, strayed};
use huewright_tests::plans::{bells, done, last_route};
use std::sync::Mutex;

fn demo() -> (String, [f64; 3]) {
    (std::fs::read_to_string(bells().join("loads.toml")).unwrap(), [23.0, 1.8, -35.2])
}

#[test]
fn the_demos_third_load_is_explained_and_mended() {
    let engine = Engine::new().unwrap();
    let (text, master) = demo();
    let told = corrected(&engine, &text).unwrap();
    // The log was drawn with these (its head says so): nitride of Beliaev, and on it n 2.4, k 0.4 of 33.0, 32.2, 27.4 nm.
    let truth = Truth::new(&engine, "beliaev-2023", [2.4, 0.4], [0.965, 1.0, 0.965]);
    for (load, nm) in told.loads.iter().zip([33.0, 32.2, 27.4]) {
        let drawn = truth.lab(&engine, nm, Gone::default());
        let seen = load.witnesses[1].lab;
        for (a, b) in seen.iter().zip([drawn.l, drawn.a, drawn.b]) {
            assert!((a - b).abs() < 1.5, "{}: {seen:?} was drawn as {drawn:?}", load.name);
        }
    }
    let third = &told.loads[2];
    let first = &third.causes[0];
    assert!(first.id == "thin" && first.probability > 0.6, "{}", third.verdict);
    assert!(first.why[0].words.contains("target is worn"), "{:?}", first.why[0]);
    assert!(first.why[0].for_it.iter().any(|w| w.starts_with("ampere_hours")), "{:?}", first.why[0]);
    assert!(third.witnesses.iter().all(|w| w.passes == Some(false)));
    // 27.4 of 33.0 nm: a logarithm of -0.186.
    assert!((first.amount - (27.4_f64 / 33.0).ln()).abs() < 2.0 * first.sd, "{} +- {}", first.amount, first.sd);
    let next = told.next.as_ref().unwrap();
    let set = next.set.iter().find(|s| s.key == "seconds").unwrap();
    assert_eq!((set.step, set.from), (Some(3), 228.0), "{set:?}");
    assert!(told.trend.is_none(), "two loads after the reference: {:?}", told.trend);
    // Put into the truth: the target as it was in the third load, and as worn again as between the second and the third.
    let worn = "three loads show no drift that is surer than the machine's own scatter: the program takes the next for the \
                last again, and says so; a target that loses another seventh at \
                once is then missed";
    let rows = [
        ("as-in-the-third", 27.4, "as in the third load", None),
        ("worn-again", 27.4 * 27.4 / 32.2, "worn once more by as much as from the second to the third", Some(worn)),
    ]
    .map(|(key, nm, words, why)| {
        let lab = truth.lab(&engine, nm * set.to / set.from, Gone::default());
        let off = [lab.l - master[0], lab.a - master[1], lab.b - master[2]];
        let reach = [2.5, 8.0, 4.0];
        let worst = (0..3).map(|i| off[i].abs() / reach[i]).fold(0.0, f64::max);
        Row {
            key: format!("correct-demo/{key}"),
            what: format!(
                "the next load of the demo, put into its truth, the target {words}: furthest axis of its limit"
            ),
            source: "examples/bells/loads.toml, drawn with other constants (invented)".to_owned(),
            status: "law".to_owned(),
            expected: "within the master's limits".to_owned(),
            ours: format!(
                "{:.0} s instead of {:.0}: {:+.1}, {:+.1}, {:+.1} from the master",
                set.to, set.from, off[0], off[1], off[2]
            ),
            miss: worst,
            tolerance: 1.0,
            unit: "of the limit".to_owned(),
            why: why.map(ToOwned::to_owned),
        }
    });
    let words = &next.words;
    assert!(words.iter().any(|w| w.contains("as if the next load went as the last one")), "{words:?}");
    record("correct-demo", rows.to_vec());
}

/// A target that lays 6 % less from load to load: each load is laid with the shutter time that the log so far told.
#[test]
fn a_drift_is_followed_from_load_to_load() {
    let engine = Engine::new().unwrap();
    let mut rows = Vec::new();
    let cases: [(&str, &str, [f64; 2], &[usize]); 6] = [
        ("beliaev", "beliaev-2023", [2.4, 0.4], &[0, 1, 2]),
        ("pfluger", "pfluger-1984", [2.3, 0.5], &[0, 1, 2]),
        ("own", "", [0.0; 2], &[0, 1, 2]),
        ("beliaev-two", "beliaev-2023", [2.4, 0.4], &[0, 1]),
        ("pfluger-two", "pfluger-1984", [2.3, 0.5], &[0, 1]),
        ("own-two", "", [0.0; 2], &[0, 1]),
    ];
    for (name, table, top, at) in cases {
        let truth = if table.is_empty() {
            Truth::own(&engine, 0.45, [0.97, 1.0, 0.97])
        } else {
            Truth::new(&engine, table, top, [0.97, 1.0, 0.97]).tuned(&engine, ordered(&engine, 0.45))
        };
        let master = truth.lab(&engine, truth.nm, Gone::default());
        let fading = |i: u32| Gone { top: -0.06 * f64::from(i), ..Gone::default() };
        let mut seconds: Vec<f64> = vec![SECONDS[1]; 3];
        let (mut worst, mut left) = ([0.0_f64; 2], 0.0_f64);
        for i in 3..7 {
            let loads: Vec<Gone> = (0..i).map(fading).collect();
            let text = log(&engine, &truth, &loads, at, &seconds, &mut Chance::new(40));
            let told = corrected(&engine, &text).unwrap();
            let next = told.next.unwrap();
            let to = next.set.iter().find(|s| s.key == "seconds").map_or(*seconds.last().unwrap(), |s| s.to);
            seconds.push(to);
            let came = |s: f64| truth.lab(&engine, truth.nm * s / SECONDS[1], fading(i));
            let part = usize::from(i >= 5);
            worst[part] = worst[part].max(ciede2000(came(to), master));
            left = left.max(ciede2000(came(SECONDS[1]), master));
        }
        let late = "no drift is told before it is surer than the machine's own scatter: the fourth and fifth load are laid \
                    for the load before, one step of the drift too short";
        let two = "with coupons at the top and in the middle alone, a place that always gets less than the geometry says is \
                   read as a load that has become uneven, for the reference teaches what is common to all places and not \
                   what each is off by: the fifth load is not counted as thin, and the sixth is laid as if nothing drifted";
        let drawn_in = "amounts are drawn towards nothing by what is usual (12 %) and by the odds that nothing changed: the told \
                        drift is some 5.5 % of the true 6, and the shutter 5 % short at the sixth load";
        let second = match name {
            "beliaev-two" | "pfluger-two" => Some(two),
            "own" | "own-two" => Some(drawn_in),
            _ => None,
        };
        let why = [Some(late), second];
        for (part, loads) in [(0, "fourth and fifth"), (1, "sixth and seventh")] {
            rows.push(Row {
                key: format!("correct-drift/{}-{name}", part + 1),
                what: format!(
                    "{loads} load laid as told, the target 6 % weaker each time ({name}): furthest from the master"
                ),
                source: "logs drawn with these constants, scatter of readings alone (invented)".to_owned(),
                status: "law".to_owned(),
                expected: "within 5 (CIEDE2000)".to_owned(),
                ours: format!("{:.1}; seconds {:?}; {left:.1} at the last if left alone", worst[part], &seconds[3..]),
                miss: worst[part],
                tolerance: 5.0,
                unit: "CIEDE2000".to_owned(),
                why: why[part].map(ToOwned::to_owned),
            });
        }
    }
    record("correct-drift", rows);
}

/// A fault of the last load, as the program counts it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Fault {
    id: &'static str,
    amount: f64,
}

/// One log and what was made of it.
struct Case {
    fault: Fault,
    /// Probability of each cause that is told, with those of one name together.
    held: Vec<(String, f64, f64, f64)>,
}

/// Draws a fault: as often, and as large, as the program believes. Its own judgement: 40 % nothing, nine signed causes that
/// show share 55 %, of which six are drawn here, so that nothing has 52 % and each of them 8; half normal with 12 % of
/// thickness, 10 % of rise, a tenth of the slider.
fn drawn(chance: &mut Chance) -> Fault {
    let size = normal(chance).abs();
    let (id, amount) = match chance.unit() {
        u if u < 0.52 => ("same", 0.0),
        u if u < 0.60 => ("thin", -0.12 * size),
        u if u < 0.68 => ("thick", 0.12 * size),
        u if u < 0.76 => ("nitrogen-poor", -0.10 * size),
        u if u < 0.84 => ("nitrogen-rich", 0.10 * size),
        u if u < 0.92 => ("uneven-height", -0.10 * size),
        _ => ("uneven-height", 0.10 * size),
    };
    Fault { id, amount }
}

fn with(gone: Gone, fault: Fault) -> Gone {
    match fault.id {
        "thin" | "thick" => Gone { top: gone.top + fault.amount, ..gone },
        "nitrogen-poor" | "nitrogen-rich" => Gone { nitrogen: gone.nitrogen + fault.amount, ..gone },
        "uneven-height" => Gone { rise: gone.rise + fault.amount, ..gone },
        _ => gone,
    }
}

/// A chamber and films of its own: a published nitride, a film on top of random n and k that is tuned to the wanted blue,
/// places two hundredths beside the geometry.
fn any_truth(engine: &Engine, shares: [f64; 3], chance: &mut Chance) -> Truth {
    let table = *chance.pick(&["beliaev-2023", "pfluger-1984", "schnabel-2018"]);
    let top = [chance.between(2.2, 2.6), chance.between(0.25, 0.6)];
    let shares = [0, 1, 2].map(|i| shares[i] * if i == 1 { 1.0 } else { (0.02 * normal(chance)).exp() });
    Truth::new(engine, table, top, shares).tuned(engine, ordered(engine, 0.45))
}

fn one(engine: &Engine, shares: [f64; 3], seed: u64) -> Case {
    let mut chance = Chance::new(seed);
    let truth = any_truth(engine, shares, &mut chance);
    let loads = 3 + (seed % 3) as usize;
    let mut gone: Vec<Gone> = (0..loads).map(|_| strayed(&mut chance)).collect();
    let fault = drawn(&mut chance);
    gone[loads - 1] = with(gone[loads - 1], fault);
    // Every other shop reads two coupons, the others three.
    let at: &[usize] = if seed.is_multiple_of(2) { &[0, 1] } else { &[0, 1, 2] };
    let text = log(engine, &truth, &gone, at, &[], &mut chance);
    let told: Correction = corrected(engine, &text).unwrap_or_else(|e| panic!("seed {seed}: {e}\n{text}"));
    let mut held: Vec<(String, f64, f64, f64)> = Vec::new();
    for cause in &told.loads[loads - 1].causes {
        match held.iter_mut().find(|h| h.0 == cause.id) {
            Some(h) => h.1 += cause.probability,
            None => held.push((cause.id.clone(), cause.probability, cause.amount, cause.sd)),
        }
    }
    Case { fault, held }
}

/// Wilson's interval for `hits` of `count`, two standard deviations.
fn wilson(hits: f64, count: f64) -> [f64; 2] {
    let (p, z) = (hits / count, 2.0_f64);
    let middle = (p + z * z / (2.0 * count)) / (1.0 + z * z / count);
    let half = z / (1.0 + z * z / count) * (p * (1.0 - p) / count + z * z / (4.0 * count * count)).sqrt();
    [middle - half, middle + half]
}

const BINS: [[f64; 2]; 6] = [[0.02, 0.1], [0.1, 0.3], [0.3, 0.5], [0.5, 0.7], [0.7, 0.9], [0.9, 1.0001]];
const LOGS: u64 = 100;

fn share_row(key: String, what: String, hits: f64, count: f64, expected: f64, why: Option<String>) -> Row {
    let [low, high] = wilson(hits, count);
    Row {
        key,
        what,
        source: "logs drawn with other constants, scatter of the machine and of readings (invented)".to_owned(),
        status: "law".to_owned(),
        expected: two_digits(expected),
        ours: format!("{} ({hits} of {count}; {low:.2} to {high:.2})", two_digits(hits / count)),
        miss: (low - expected).max(expected - high).max(0.0),
        tolerance: 0.0,
        unit: "beyond the binomial interval of two standard deviations".to_owned(),
        why,
    }
}

/// Why probabilities of a bin are not what they say.
fn why(bin: usize) -> Option<String> {
    let why = "over-confident where the constants are other ones: a thick or nitrogen-poor load whose film has another n and k \
               is taken for one rich in aluminium, or the other way round, for both darken alike; to widen each cause's effect \
               by the disagreement of the tables did not mend it (6 of 9)";
    (bin == 5).then(|| why.to_owned())
}

#[test]
fn probabilities_and_amounts_are_as_sure_as_they_say() {
    let engine = Engine::new().unwrap();
    let plan = done(&engine, &std::fs::read_to_string(bells().join("recipe-gold-dark.toml")).unwrap());
    let positions = &last_route(&plan).chamber.as_ref().unwrap().load.as_ref().unwrap().positions;
    let shares = [0, 1, 2].map(|i: usize| positions[i].share);
    let (next, found) = (Mutex::new(0..LOGS), Mutex::new(Vec::new()));
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                loop {
                    let Some(seed) = next.lock().unwrap().next() else { break };
                    let case = one(&engine, shares, 1000 + seed);
                    found.lock().unwrap().push((seed, case));
                }
            });
        }
    });
    let mut cases = found.into_inner().unwrap();
    cases.sort_by_key(|c| c.0);
    let (mut bins, mut amounts) = ([[0.0; 3]; 6], [0.0; 2]);
    let mut named = [0.0; 3];
    for (_, case) in &cases {
        for (id, p, amount, sd) in &case.held {
            let true_one = id == case.fault.id;
            let bin = BINS.iter().position(|b| (b[0]..b[1]).contains(p)).unwrap();
            bins[bin] = [bins[bin][0] + f64::from(u8::from(true_one)), bins[bin][1] + 1.0, bins[bin][2] + p];
            if true_one && *p > 0.5 && id != "same" {
                let within = (amount - case.fault.amount).abs() <= 2.0 * sd;
                amounts = [amounts[0] + f64::from(u8::from(within)), amounts[1] + 1.0];
            }
        }
        let best = &case.held[0];
        if best.1 >= 0.6 {
            named = [named[0] + f64::from(u8::from(best.0 == case.fault.id)), named[1] + 1.0, named[2] + best.1];
        }
    }
    let mut rows: Vec<Row> = Vec::new();
    for (i, [hits, count, sum]) in bins.iter().enumerate() {
        let what = format!("causes told with a probability of {} to {:.1}, true ones", BINS[i][0], BINS[i][1]);
        rows.push(share_row(format!("correct/1-told-{i}"), what, *hits, *count, sum / count, why(i)));
    }
    let what = "amounts of true causes within two told standard deviations".to_owned();
    rows.push(share_row("correct/2-amounts".to_owned(), what, amounts[0], amounts[1], 0.9545, None));
    let what = "loads whose verdict names one cause (60 % and more), true ones".to_owned();
    rows.push(share_row("correct/3-named".to_owned(), what, named[0], named[1], named[2] / named[1], None));
    record("correct", rows);
}
