//! The chamber: nothing that is emitted is lost or found, a turn is the mean of its moments, more ways to turn even out.

use huewright_tests::accuracy::{Row, record};
use huewright_tests::worst::{Origin, Worst};
use routes::carousel::{Carousel, Chamber, Facet, Grid, Place, Shield, Target};
use routes::emission::{Emitter, arriving};
use std::f64::consts::{FRAC_1_PI, PI, TAU};

const ORIGIN: Origin<'_> = Origin { chapter: "chamber", source: "conservation and geometry", status: "law" };

const OUT: Facet = Facet { at_mm: [0.0; 3], normal: [1.0, 0.0, 0.0] };

fn target() -> Target {
    Target {
        bearing_deg: 0.0,
        axis_mm: 380.0,
        track_height_mm: 500.0,
        track_width_mm: 80.0,
        emission: 1.0,
        centre_mm: 0.0,
        groove_mm: 0.0,
    }
}

fn load(rotation: u8) -> Carousel {
    Carousel {
        rotation,
        rpm: 3.0,
        table_mm: if rotation < 2 { 250.0 } else { 200.0 },
        satellites: 6,
        satellite_mm: 60.0,
        satellite_ratio: 2.7,
        pin_ratio: 5.1,
        shade_mm: if rotation < 2 { 0.0 } else { 55.0 },
    }
}

fn chamber(rotation: u8) -> Chamber {
    Chamber { targets: vec![target()], carousel: load(rotation) }
}

/// The middles of `count` even steps from `low` to `high`.
fn steps(low: f64, high: f64, count: u32) -> impl Iterator<Item = f64> {
    (0..count).map(move |i| low + (high - low) * (f64::from(i) + 0.5) / f64::from(count))
}

fn row(key: &str, what: &str, ours: f64, expected: f64, tolerance: f64, unit: &str) -> Row {
    let mut one = Worst::default();
    one.see(key, ours, expected, tolerance);
    one.row(ORIGIN, key, what, unit)
}

/// All that a small source emits arrives on a half sphere about it.
fn over_the_half_space() -> Row {
    let mut all = Worst::default();
    for n in [0.0, 0.5, 1.0, 2.0, 3.0] {
        let source = Emitter { at: [0.0; 3], normal: [0.0, 0.0, 1.0], exponent: n };
        let mut sum = 0.0;
        // In steps of the cosine, so that each ring is of one area.
        for cos in steps(0.0, 1.0, 4000) {
            let sin = (1.0 - cos * cos).sqrt();
            sum += arriving(&source, [70.0 * sin, 0.0, 70.0 * cos], [-sin, 0.0, -cos]) / 4000.0;
        }
        all.see(format!("n {n}"), sum * TAU * 70.0 * 70.0, 1.0, 1e-5);
    }
    all.row(ORIGIN, "1-half-space", "all that a source emits over the half space before it", "of it")
}

/// What walls, lids and six upright bodies of a closed round chamber receive together.
fn received(target: &Target, shields: &[Shield]) -> f64 {
    let (radius, half) = (400.0, 420.0);
    let (around, up) = (240, 30);
    let mut sum = 0.0;
    for angle in steps(0.0, TAU, around) {
        let (sin, cos) = angle.sin_cos();
        let area = TAU / f64::from(around) * 2.0 * half / f64::from(up);
        for z in steps(-half, half, up) {
            sum += radius * area * target.arriving([radius * cos, radius * sin, z], [-cos, -sin, 0.0], shields);
            // Of each body its own side away from its axis.
            for body in shields.iter().filter(|_| ((angle / TAU * f64::from(around)) as u32).is_multiple_of(2)) {
                let at = [body.at_mm[0] + body.radius_mm * cos, body.at_mm[1] + body.radius_mm * sin, z];
                sum += 2.0 * body.radius_mm * area * target.arriving(at, [cos, sin, 0.0], shields);
            }
        }
        for r in steps(0.0, radius, 50) {
            let (x, y) = (r * cos, r * sin);
            let inside = |s: &Shield| (x - s.at_mm[0]).hypot(y - s.at_mm[1]) < s.radius_mm;
            if !shields.iter().any(inside) {
                let area = r * TAU / f64::from(around) * radius / 50.0;
                for side in [-1.0, 1.0] {
                    sum += area * target.arriving([x, y, side * half], [0.0, 0.0, -side], shields);
                }
            }
        }
    }
    sum
}

fn closed_chamber() -> Row {
    let shields: Vec<Shield> = load(2).shields(17.0);
    let mut all = Worst::default();
    let new = received(&target(), &shields);
    all.see("six bodies, n 1", new, 1.0, 2e-3);
    all.see("six bodies, n 3", received(&Target { emission: 3.0, ..target() }, &shields), 1.0, 2e-3);
    all.see("empty, n 0.5", received(&Target { emission: 0.5, ..target() }, &[]), 1.0, 2e-3);
    // The walls of a groove keep a part of what its floor emits.
    let worn = received(&Target { groove_mm: 8.0, ..target() }, &shields);
    assert!(worn < new && worn > 0.7 * new, "{worn} {new}");
    all.row(ORIGIN, "2-closed", "walls, lids and bodies together, of all that is emitted", "of it")
}

#[test]
fn nothing_emitted_is_lost() {
    record("chamber-sources", vec![over_the_half_space(), closed_chamber()].into_iter().map(at("sources")).collect());
}

/// Under the chapter of its sheet.
fn at(sheet: &str) -> impl Fn(Row) -> Row {
    let chapter = format!("chamber-{sheet}");
    move |row| Row { key: row.key.replacen("chamber", &chapter, 1), ..row }
}

#[test]
fn a_turn_is_the_mean_of_still_maps() {
    let mut still = Worst::default();
    for (height_mm, facet) in [(0.0, OUT), (180.0, Facet { normal: [0.6, 0.8, 0.0], ..OUT })] {
        let turned = chamber(1).mean(Place { height_mm, ..Place::default() }, facet);
        let held: f64 = steps(0.0, 360.0, 1440)
            .map(|around_deg| chamber(0).mean(Place { height_mm, around_deg, inward_mm: 0.0 }, facet) / 1440.0)
            .sum();
        still.see(format!("{height_mm} mm"), held / turned, 1.0, 1e-5);
        // The turn that is drawn has the same mean.
        let turn = chamber(1).turn(Place { height_mm, ..Place::default() }, facet, 1441);
        let mean: f64 = turn.windows(2).map(|w| 0.5 * (w[0].1 + w[1].1) / 1440.0).sum();
        still.see(format!("{height_mm} mm, drawn"), mean / turned, 1.0, 1e-5);
    }
    // Two ways to turn: every pair of angles alike.
    let place = Place { height_mm: 60.0, ..Place::default() };
    let endless = Chamber { carousel: Carousel { satellite_ratio: 2.0_f64.sqrt(), ..load(2) }, ..chamber(2) };
    let mut pairs = 0.0;
    for table in steps(0.0, 360.0, 180) {
        for satellite in steps(0.0, 360.0, 180) {
            pairs += endless.now(place, OUT, [table, satellite, 0.0]) / 32_400.0;
        }
    }
    still.see("pairs of angles", pairs / endless.mean(place, OUT), 1.0, 1e-3);
    let row = still.row(ORIGIN, "1-turn", "mean of still maps over that of a full turn", "of the mean");
    record("chamber-turning", vec![at("turning")(row), at("turning")(doubled())]);
}

/// What the mean changes by when emitters and moments are doubled.
fn doubled() -> Row {
    let mut worst = Worst::default();
    let finer = Grid { emitters: 2.0, moments: 2 };
    for (rotation, ratio) in [(1, 1.0), (2, 2.7), (2, 3.0), (2, 2.0_f64.sqrt()), (3, 2.7), (3, 2.0_f64.sqrt())] {
        for (groove_mm, emission) in [(0.0, 1.0), (10.0, 1.6)] {
            let carousel = Carousel { satellite_ratio: ratio, ..load(rotation) };
            let chamber = Chamber { targets: vec![Target { groove_mm, emission, ..target() }], carousel };
            for (height_mm, normal) in [(0.0, [1.0, 0.0, 0.0]), (210.0, [0.6, 0.0, 0.8]), (-90.0, [0.0, -1.0, 0.0])] {
                let (place, facet) = (Place { height_mm, ..Place::default() }, Facet { normal, ..OUT });
                let change = chamber.mean_on(place, facet, finer) / chamber.mean(place, facet);
                worst.see(format!("rotation {rotation}, ratio {ratio:.2}, {height_mm} mm"), change, 1.0, 1e-3);
            }
        }
    }
    worst.row(ORIGIN, "2-doubled", "mean with twice the emitters and moments, over the usual", "of the mean")
}

/// coatings.md 3.3 (derived): a cylinder, or a flat part facing out, that turns in a parallel beam gets 1/pi of the front.
#[test]
fn a_parallel_beam_gives_a_turning_part_a_share_of_pi() {
    let far = Target { axis_mm: 1e6, ..target() };
    let front = far.arriving([0.0; 3], [1.0, 0.0, 0.0], &[]);
    let share = |rotation: u8, shade_mm: f64, facet: Facet| {
        let carousel = Carousel { shade_mm, ..load(rotation) };
        Chamber { targets: vec![far], carousel }.mean(Place::default(), facet) / front
    };
    let mut rows = vec![
        row(
            "1-one-fold",
            "a flat part facing out, one way of turning",
            share(1, 0.0, OUT),
            FRAC_1_PI,
            1e-3,
            "of the front",
        ),
        row(
            "2-cylinder",
            "any side of a cylinder that turns three ways",
            share(3, 0.0, Facet { normal: [0.6, 0.8, 0.0], ..OUT }),
            FRAC_1_PI,
            1e-3,
            "of the front",
        ),
    ];
    let two = row(
        "3-two-fold",
        "a part that turns two ways among six satellites: 1/pi twice",
        share(2, 55.0, OUT),
        FRAC_1_PI * FRAC_1_PI,
        0.1 * FRAC_1_PI * FRAC_1_PI,
        "of the front",
    );
    rows.push(Row {
        source: "coatings.md 3.3: about 1/pi again, times any shadowing".to_owned(),
        status: "derived there; a rule of thumb".to_owned(),
        why: Some(
            "a parallel beam reaches the far side of a table through the gaps, and a face turned two ways still meets \
             it at every angle alike: 1/pi less what is hidden, and not 1/pi twice"
                .to_owned(),
        ),
        ..two
    });
    record("chamber-beam", rows.into_iter().map(at("beam")).collect());
}

#[test]
fn more_ways_to_turn_even_out() {
    let place = |around_deg: f64| Place { around_deg, ..Place::default() };
    let sides = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, -1.0, 0.0]];
    let spread = |chamber: &Chamber| {
        let all = sides.map(|normal| chamber.mean(place(0.0), Facet { normal, ..OUT }));
        let (low, high) = (all.into_iter().fold(f64::INFINITY, f64::min), all.into_iter().fold(0.0, f64::max));
        (low, high)
    };
    let [one, two, three] = [1, 2, 3].map(|rotation| spread(&chamber(rotation)));
    // The side that looks out loses with each way, the one that looks in gains with the last.
    assert!(one.1 > two.1 && two.1 > three.1, "{one:?} {two:?} {three:?}");
    assert!(three.0 / three.1 > 0.98 && two.0 / two.1 < 0.1, "{one:?} {two:?} {three:?}");
    // Parts round a satellite are alike where its turns are not whole, and unlike where they are.
    let around = |ratio: f64| {
        let chamber = Chamber { carousel: Carousel { satellite_ratio: ratio, ..load(2) }, ..chamber(2) };
        let all = [0.0, 90.0, 180.0, 270.0].map(|deg| chamber.mean(place(deg), OUT));
        all.into_iter().fold(f64::INFINITY, f64::min) / all.into_iter().fold(0.0, f64::max)
    };
    assert!(around(2.7) > 0.999 && around(3.0) < 0.9, "{} {}", around(2.7), around(3.0));
}

/// Facets of a dome under one small source on its axis, against the formula written out.
#[test]
fn a_dome_under_one_source_follows_the_formula() {
    let (h, r) = (380.0_f64, 30.0_f64);
    let mut all = Worst::default();
    for n in [0.0, 1.0, 2.5] {
        let source = Emitter { at: [h, 0.0, 0.0], normal: [-1.0, 0.0, 0.0], exponent: n };
        let small = Target { track_height_mm: 0.5, track_width_mm: 0.5, emission: n, ..target() };
        let carousel = Carousel { table_mm: 0.0, ..load(0) };
        let chamber = Chamber { targets: vec![small], carousel };
        let crown = arriving(&source, [r, 0.0, 0.0], [1.0, 0.0, 0.0]);
        for deg in [0.0_f64, 15.0, 40.0, 70.0, 84.0, 89.0] {
            let (sin, cos) = deg.to_radians().sin_cos();
            // Beyond cos = r/h the facet sees the source no more.
            let lit = (h * cos - r).max(0.0);
            let square = h * h + r * r - 2.0 * h * r * cos;
            let shape = (h - r * cos).powf(n) * (h - r).powi(2) / square.powf(0.5 * (n + 3.0));
            let expected = lit * shape;
            for (x, z) in [(0.0, 1.0), (0.6, 0.8), (1.0, 0.0)] {
                let normal = [cos, x * sin, z * sin];
                let at_mm = normal.map(|v| r * v);
                all.see(format!("n {n}, {deg} deg"), arriving(&source, at_mm, normal) / crown, expected, 1e-12);
                let strip = chamber.now(Place::default(), Facet { at_mm, normal }, [0.0; 3]) / crown;
                assert!((strip - expected).abs() < 1e-5, "{n} {deg}: {strip} {expected}");
            }
        }
    }
    record("chamber-dome", vec![at("dome")(all.row(ORIGIN, "1-facets", "thickness on a dome", "of the crown"))]);
}

/// Mirror images get the same, and a chamber that is turned as a whole too.
#[test]
fn left_and_right_are_alike() {
    let right = Target { bearing_deg: 40.0, ..target() };
    let left = Target { bearing_deg: -40.0, ..target() };
    let bodies = |side: f64| vec![Shield { at_mm: [240.0, side * 150.0], radius_mm: 15.0 }];
    let (a, b) = (
        right.arriving([150.0, 60.0, 90.0], [0.64, 0.48, 0.6], &bodies(1.0)),
        left.arriving([150.0, -60.0, 90.0], [0.64, -0.48, 0.6], &bodies(-1.0)),
    );
    assert!(a > 0.0 && (a / b - 1.0).abs() < 1e-12, "{a} {b}");
    for rotation in [1, 2, 3] {
        // With ratios that never close: a closed cycle has a phase, and a target elsewhere another.
        let carousel = Carousel { satellite_ratio: 2.0_f64.sqrt(), ..load(rotation) };
        let [one, other] = [0.0, 77.0].map(|bearing_deg| {
            let targets = vec![Target { bearing_deg, ..target() }];
            Chamber { targets, carousel }.mean(Place::default(), OUT)
        });
        assert!((one / other - 1.0).abs() < 1e-3, "{rotation}: {one} {other}");
    }
    let angle = 0.25 * PI;
    let mirrored = Facet { normal: [angle.cos(), 0.0, -angle.sin()], ..OUT };
    let up = Facet { normal: [angle.cos(), 0.0, angle.sin()], ..OUT };
    let place = |height_mm: f64| Place { height_mm, ..Place::default() };
    let ratio = chamber(1).mean(place(120.0), up) / chamber(1).mean(place(-120.0), mirrored);
    assert!((ratio - 1.0).abs() < 1e-9, "{ratio}");
}
