//! Geometry of sources, the invented set of the reactive balance, zinc: tables derived here, none of them published.

use huewright_tests::accuracy::{Row, record};
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use routes::emission::{beside, flattest_ring, ring};
use routes::evaporation::ZINC;
use routes::reactive::{Balance, Gas, PER_SCCM, nm_per_min};

const GEOMETRY: Origin<'_> = Origin {
    chapter: "deposition-geometry",
    source: "closed forms of a cosine source; n = 1: Knudsen, Holland and Steckelmacher (1952)",
    status: "derived from a textbook formula",
};

#[test]
fn small_and_ring_sources_over_a_plate() {
    let mut small = Worst::default();
    for r in read("cross/deposition/beside.csv") {
        for (n, column) in [(0.0, "n0"), (1.0, "n1"), (2.0, "n2"), (3.0, "n3")] {
            let l = r.number("l_over_h");
            small.see(format!("l/h {l}, n {n}"), beside(l, n), r.number(column), 5e-5);
        }
    }
    let mut over = Worst::default();
    for r in read("cross/deposition/ring.csv") {
        let [h, at] = r.numbers(["h_over_radius", "r_over_radius"]);
        over.see(format!("h/R {h}, r/R {at}"), ring(at, h, 1.0), r.number("share"), r.number("tolerance"));
    }
    let mut flattest = Worst::default();
    for r in read("cross/deposition/flattest.csv") {
        let n = r.number("n");
        flattest.see(format!("n {n}"), flattest_ring(n), r.number("h_over_radius"), 5e-5);
    }
    assert!(small.count == 32 && over.count == 25 && flattest.count == 4);
    let unit = "of the middle";
    record(
        "deposition-geometry",
        vec![
            small.row(GEOMETRY, "1-beside", "thickness beside the foot of a small source", unit),
            over.row(GEOMETRY, "2-ring", "thickness under a ring source", unit),
            flattest.row(GEOMETRY, "3-flattest", "height over radius of the flattest ring", "radii"),
        ],
    );
}

/// TiN: molar mass and the density that the set was made with (from memory).
fn tin(rate_per_m2_s: f64) -> f64 {
    nm_per_min(rate_per_m2_s, 61.874, 5.40)
}

fn invented() -> Balance {
    Balance {
        target_m2: 0.02,
        wall_m2: 0.3,
        current_a: 2.0,
        sticking_target: 1.0,
        sticking_wall: 1.0,
        yield_metal: 0.5,
        yield_compound: 0.1,
        pumping_m3_s: 0.1,
        gas: Gas::NITROGEN,
        temperature_k: 300.0,
    }
}

const BERG: Origin<'_> = Origin {
    chapter: "deposition-berg",
    source: "balance of Berg in its standard form, from memory; parameters invented",
    status: "derived: our own regression, nothing published",
};

/// Why a row of the set is off by a little more than its last digit; inferred by trying, the script being gone.
fn why(key: &str) -> Option<String> {
    let why = match key {
        "1-turning-S-0.3-up_sccm" | "1-turning-walls-0.6-up_sccm" | "2-at-1e-1" => {
            "the table was made with constants of four digits: e = 1.602e-19 C and k = 1.381e-23 J/K give 3.8128 and \
             4.2278 sccm at the turning points and 6.8440 sccm at 0.1 Pa"
        }
        "1-turning-S-0.1-down_mpa" | "1-turning-S-0.3-up_mpa" | "1-turning-walls-0.6-up_mpa" => {
            "where the flow turns it is flat: a pressure off by 0.2 % moves it by less than 1e-5, and the table's \
             pressures lie on a grid; the second method gives ours to 1e-7"
        }
        "2-at-1e-2" | "2-at-1e-3" | "2-at-1e-4" => {
            "the table's points are those of a grid next to the printed pressure, up to 0.1 % beside it"
        }
        "3-end-rates" => {
            "the table's rates are those at the ends of a grid of pressures, the bare one 5e-4 too low and the poisoned \
             one 2e-3 too high; their printed ratio of 0.20 is that without and with endless gas"
        }
        _ => return None,
    };
    Some(why.to_owned())
}

/// Half of the last digit of a number as it was printed.
fn half_digit(text: &str) -> f64 {
    let decimals = text.split_once('.').map_or(0, |(_, d)| d.len());
    0.5 * 10_f64.powi(-i32::try_from(decimals).unwrap())
}

#[test]
fn the_invented_set_turns_where_it_did() {
    let mut rows = Vec::new();
    for r in read("cross/deposition/berg-turning.csv") {
        let [wall_m2, current_a, sticking, pumping_m3_s] =
            r.numbers(["wall_m2", "current_a", "sticking", "pumping_m3_s"]);
        let b = Balance {
            wall_m2,
            current_a,
            sticking_target: sticking,
            sticking_wall: sticking,
            pumping_m3_s,
            ..invented()
        };
        let case = r.text("case");
        let turning = b.turning();
        if r.maybe("up_sccm").is_none() {
            rows.push(Row {
                key: format!("{}/1-turning-{}", BERG.chapter, case.replace(' ', "-")),
                what: format!("turning points, {case}"),
                source: BERG.source.to_owned(),
                status: BERG.status.to_owned(),
                expected: "none".to_owned(),
                ours: if turning.is_some() { "two" } else { "none" }.to_owned(),
                miss: if turning.is_some() { 1.0 } else { 0.0 },
                tolerance: 0.0,
                unit: "pairs".to_owned(),
                why: None,
            });
            continue;
        }
        let [up, down] = turning.unwrap();
        for (column, ours, unit) in [
            ("up_sccm", up.flow_sccm, "sccm"),
            ("up_mpa", 1e3 * up.pressure_pa, "mPa"),
            ("down_sccm", down.flow_sccm, "sccm"),
            ("down_mpa", 1e3 * down.pressure_pa, "mPa"),
        ] {
            let mut one = Worst::default();
            one.see(case, ours, r.number(column), half_digit(r.text(column)));
            let key = format!("1-turning-{}-{column}", case.replace(' ', "-"));
            let row = one.row(BERG, &key, &format!("turning point, {case}, {}", column.replace('_', " ")), unit);
            rows.push(Row { why: why(&key), ..row });
        }
    }
    for r in read("cross/deposition/berg-points.csv") {
        let s = invented().at_pressure(r.number("pressure_pa"));
        let mut point = Worst::default();
        for (column, ours) in [
            ("flow_sccm", s.flow_sccm),
            ("target_compound", s.target_compound),
            ("wall_compound", s.wall_compound),
            ("rate_nm_per_min", tin(s.rate_per_m2_s)),
        ] {
            point.see(column, ours, r.number(column), half_digit(r.text(column)));
        }
        let at = r.text("pressure_pa");
        let key = format!("2-at-{at}");
        let row = point.row(BERG, &key, &format!("state at {at} Pa"), "as the value");
        rows.push(Row { why: why(&key), ..row });
    }
    let [up, down] = invented().turning().unwrap();
    let (bare, covered) = (invented().at_pressure(0.0), invented().at_pressure(1e9));
    let (mut worked, mut ends) = (Worst::default(), Worst::default());
    for r in read("cross/deposition/berg-worked.csv") {
        let ours = match r.text("quantity") {
            "up_target_compound" => up.target_compound,
            "up_wall_compound" => up.wall_compound,
            "up_rate_nm_per_min" => tin(up.rate_per_m2_s),
            "down_target_compound" => down.target_compound,
            "down_wall_compound" => down.wall_compound,
            "down_rate_nm_per_min" => tin(down.rate_per_m2_s),
            "metal_rate_nm_per_min" => tin(bare.rate_per_m2_s),
            "poisoned_rate_nm_per_min" => tin(covered.rate_per_m2_s),
            "poisoned_over_metal" => covered.rate_per_m2_s / bare.rate_per_m2_s,
            "per_sccm" => PER_SCCM,
            other => panic!("'{other}' is not known here"),
        };
        let end = ["metal_rate_nm_per_min", "poisoned_rate_nm_per_min"].contains(&r.text("quantity"));
        let to = if end { &mut ends } else { &mut worked };
        to.see(r.text("quantity"), ours, r.number("value"), r.number("tolerance"));
    }
    assert!(worked.count == 8 && ends.count == 2);
    let row = ends.row(BERG, "3-end-rates", "rates of the bare and of the covered target", "nm/min");
    rows.push(Row { why: why("3-end-rates"), ..row });
    rows.push(worked.row(
        BERG,
        "3-worked",
        "surfaces and rates where it turns, and the ratio of yields",
        "as the value",
    ));
    record("deposition-berg", rows);
}

#[test]
fn zinc_leaves_hot_parts() {
    let origin = Origin {
        chapter: "deposition-zinc",
        source: "log10(P/atm) = 6.102 - 6776/T, Alcock 1984, from memory; Langmuir",
        status: "derived from a pair from memory",
    };
    let (mut pressure, mut free) = (Worst::default(), Worst::default());
    for r in read("cross/deposition/zinc.csv") {
        let t = r.number("temperature_c");
        let ours = ZINC.pressure_pa(t).unwrap();
        let (expected, tolerance) = (r.number("pressure_pa"), r.number("pressure_tolerance"));
        pressure.see(format!("{t} C"), ours / expected, 1.0, tolerance / expected);
        if let Some(expected) = r.maybe("free_um_per_h") {
            let ours = ZINC.free_um_per_h(t, 1.0).unwrap();
            free.see(format!("{t} C"), ours / expected, 1.0, r.number("free_tolerance") / expected);
        }
    }
    assert!(pressure.count == 6 && free.count == 3);
    let unit = "of the value";
    record(
        "deposition-zinc",
        vec![
            pressure.row(origin, "1-pressure", "vapour pressure of zinc", unit),
            free.row(origin, "2-free", "zinc that evaporates freely", unit),
        ],
    );
}
