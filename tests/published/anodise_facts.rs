//! Fields, ratios, efficiency and charge of growth in a bath, and what the bath costs, against published numbers.
//!
//! Rows that say "definition" put in a constant and take the same number out again: they check the way through the
//! formulas, not the constant.

use huewright::Engine;
use huewright_tests::accuracy::{Row, record};
use huewright_tests::plans::{done, field, last_route};
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use routes::Draw;
use routes::anodising::{Course, Drive, Stop, anodise};
use routes::bath::{Conductivity, resistance_ohm};
use routes::cell::{Cell, Zone};
use routes::field::HighField;

fn row(
    key: &str,
    what: &str,
    (source, status): (&str, &str),
    (expected, ours): (f64, f64),
    tol: f64,
    unit: &str,
) -> Row {
    Row {
        key: format!("anodise-facts/{key}"),
        what: what.to_owned(),
        source: source.to_owned(),
        status: status.to_owned(),
        expected: format!("{expected}"),
        ours: format!("{ours:.4}"),
        miss: (ours - expected).abs(),
        tolerance: tol,
        unit: unit.to_owned(),
        why: None,
    }
}

/// One square centimetre, bare, under a supply of `most_a`, until the current falls below it.
fn under_constant_current(film: &HighField, volts: f64, most_a: f64) -> Course {
    let cell = Cell { bath_ohm_cm2: 0.0, series_ohm: 0.0, most_a: Some(most_a), cathode_v: 0.0 };
    let drive = Drive { voltage_v: &|_| volts, immersed: &|_, _| 1.0, longest_s: f64::INFINITY };
    let stop = Stop { after_s: 3600.0, current_a: Some((0.9999 * most_a, 0.0)), thickness_nm: None };
    anodise(film, &cell, &[Zone { area_cm2: 1.0, thickness_nm: 0.0 }], &drive, stop, 1e-5)
}

/// Volts at which a film of `thickness_nm` draws `ma` mA/cm2.
fn volts_for(film: &HighField, thickness_nm: f64, ma: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1000.0);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if film.current_a_per_cm2(thickness_nm, middle).0 < 1e-3 * ma { low = middle } else { high = middle }
    }
    low
}

#[test]
fn lines_of_single_papers() {
    let base = field(&Engine::new().unwrap(), "titanium", "joined");
    let mut rows = Vec::new();
    for r in read("published/anodise-facts/lines.csv") {
        let [offset_nm, ratio, at_ma] = r.numbers(["offset_nm", "ratio_nm_per_v", "at_ma_per_cm2"]);
        let mut film = HighField { at_ma_per_cm2: at_ma, ..base };
        film.law.offset_nm = offset_nm;
        film.law.ratio_nm_per_v = ratio;
        let [volts, expected, tolerance] = r.numbers(["voltage_v", "thickness_nm", "tolerance_nm"]);
        // Grown at the reference current, to the moment at which the voltage is reached.
        let ours = under_constant_current(&film, volts, 1e-3 * at_ma).end().thickness_nm[0];
        let what = format!("{}: thickness at {volts} V, {offset_nm} + {ratio} nm/V, through the cell", r.text("metal"));
        let test = r.text("basis") == "test";
        let status =
            if test { "published" } else { "calibration: the published number is put in (definition)" }.to_owned();
        let source =
            if r.text("id").starts_with("B13") { "Vera et al. (2015), Table 1" } else { "Habazaki et al. (2004)" };
        rows.push(row(r.text("id"), &what, (source, &status), (expected, ours), tolerance, "nm"));
    }
    // A14: the ratio is the inverse of the field; tungsten is none of our metals.
    let mut tungsten = HighField { at_ma_per_cm2: 0.172, ..base };
    tungsten.law.offset_nm = 0.0;
    tungsten.law.ratio_nm_per_v = 1.859;
    let mv_per_cm = volts_for(&tungsten, 100.0, 0.172) / 100.0 * 10.0;
    let ord = (
        "Ord and De Smet, J. Electrochem. Soc. 139, 359 (1992), abstract",
        "calibration: the published number is put in (definition)",
    );
    let what = "tungsten: field at 172 uA/cm2 of a film that grows 1.859 nm/V";
    rows.push(row("A14", what, ord, (5.38, mv_per_cm), 0.005, "MV/cm"));
    record("anodise-facts", rows);
}

#[test]
fn the_default_laws_beside_single_papers() {
    let engine = Engine::new().unwrap();
    let rows = read("published/anodise-facts/ours.csv")
        .iter()
        .map(|r| {
            let film = field(&engine, r.text("metal"), r.text("law"));
            let volts = r.number("voltage_v");
            let ours = film.law.thickness_nm(volts, Draw::default());
            let [low, high] = r.numbers(["low_nm", "high_nm"]);
            let sd = film.law.offset_sd_nm.hypot(film.law.ratio_sd_nm_per_v * volts);
            let (metal, law) = (r.text("metal"), r.text("law"));
            Row {
                key: format!("anodise-facts-ours/{}", r.text("id")),
                what: format!(
                    "{metal}: thickness at {volts} V by the law '{law}', allowed two of its standard deviations"
                ),
                source: r.text("source").to_owned(),
                status: r.text("basis").to_owned(),
                expected: if low < high { format!("{low} to {high}") } else { format!("{low}") },
                ours: format!("{ours:.1}"),
                miss: (low - ours).max(ours - high).max(0.0),
                tolerance: 2.0 * sd,
                unit: "nm".to_owned(),
                why: None,
            }
        })
        .collect();
    record("anodise-facts-ours", rows);
}

#[test]
fn what_current_and_warmth_do() {
    let engine = Engine::new().unwrap();
    let mut rows = Vec::new();
    for (metal, law) in [("titanium", "joined"), ("niobium", "phosphoric-tem"), ("tantalum", "memory")] {
        let film = field(&engine, metal, law);
        let ratio = volts_for(&film, 100.0, 10.0) / volts_for(&film, 100.0, 0.1);
        let what = format!("{metal}: field at 10 mA/cm2 over that at 0.1 mA/cm2");
        let citing = (
            "a paper citing Ord et al., J. Electrochem. Soc. 119, 439 (1972)",
            "calibration: the slope of the field comes from it (seen second-hand)",
        );
        rows.push(row(&format!("field-{metal}"), &what, citing, (1.10, ratio), 0.033, "ratio"));
    }
    let tantalum = field(&engine, "tantalum", "memory");
    let course = under_constant_current(&tantalum, 60.0, 1e-3);
    let whole = HighField { oxide: routes::charge::Oxide { efficiency: 1.0, ..tantalum.oxide }, ..tantalum };
    let end = course.end();
    let grown_c = (end.thickness_nm[0] - tantalum.law.offset_nm) * whole.oxide.coulomb_per_cm2_nm();
    let vermilyea = "Vermilyea, Acta Metall. 1, 282 (1953), abstract";
    let what = "tantalum: share of the charge that became film, 60 V at 1 mA/cm2";
    rows.push(row(
        "A03",
        what,
        (vermilyea, "calibration: published, and put in as it is"),
        (0.98, grown_c / end.charge_c),
        0.005,
        "share",
    ));
    // The slope of ln i by the field itself, at two temperatures.
    let slope = |bath_c: f64| {
        let film = HighField { bath_c, ..tantalum };
        let (low, high) = (volts_for(&film, 100.0, 0.5), volts_for(&film, 100.0, 2.0));
        4f64.ln() / (high - low)
    };
    let mut b = row(
        "A02",
        "tantalum: slope B of ln i by the field at 85 C over that at 25 C",
        (vermilyea, "published"),
        (1.0, slope(85.0) / slope(25.0)),
        0.01,
        "ratio",
    );
    b.why = Some(
        "our ratio grows with absolute temperature while B times the field is held, so that B grows too; it moves what a \
         decade of current does in a warm bath by a fifth of its five per cent"
            .to_owned(),
    );
    rows.push(b);
    let niobium = field(&engine, "niobium", "room-temperature");
    let warm = HighField { bath_c: 60.0, ..niobium }.thickness_nm(40.0) - niobium.thickness_nm(40.0);
    rows.push(Row {
        expected: "thicker".to_owned(),
        ours: format!("{warm:.1} nm thicker"),
        miss: (-warm).max(0.0),
        ..row(
            "B22",
            "niobium at 40 V in a bath of 60 C instead of 20 C (sign alone)",
            ("Ono and Asoh, Corros. Sci., abstract", "published"),
            (0.0, warm),
            0.0,
            "nm",
        )
    });
    for r in read("published/anodise-facts/charges.csv") {
        let metal = r.text("metal");
        let table = engine.library().growth(metal).unwrap();
        let film = field(&engine, metal, &table.laws[0].name);
        let ours = 1e3 * film.oxide.coulomb_per_cm2_nm() * film.oxide.efficiency;
        let what = format!("charge of 1 nm on 1 cm2, {}", r.text("oxide"));
        let status = format!("derived; {}", r.text("basis"));
        let [expected, tolerance] = r.numbers(["mc_per_cm2_nm", "tolerance"]);
        let key = format!("charge-{metal}");
        rows.push(row(&key, &what, ("Faraday's law", &status), (expected, ours), tolerance, "mC"));
    }
    rows.iter_mut().for_each(|r| r.key = r.key.replace("anodise-facts/", "anodise-facts-field/"));
    record("anodise-facts-field", rows);
}

#[test]
fn how_baths_conduct_and_what_that_costs() {
    let engine = Engine::new().unwrap();
    let at = |electrolyte: &str, percent: f64| {
        let table = engine.library().electrolyte(electrolyte).unwrap().conductivity.as_ref().unwrap();
        let known = Conductivity {
            percent: table.percent.clone(),
            ms_per_cm: table.ms_per_cm.clone(),
            at_c: table.at_c,
            per_k: table.per_c,
        };
        known.at(percent, 20.0).unwrap()
    };
    let crc = |chapter| Origin {
        chapter,
        source: "CRC Handbook of Chemistry and Physics, conductivity of aqueous solutions",
        status: "published; the data are this table",
    };
    let mut rows = Vec::new();
    let table = read("published/anodise-facts/conductivity.csv");
    for salt in ["citric-acid", "ammonium-sulfate", "acetic-acid"] {
        let mut worst = Worst::default();
        for r in table.iter().filter(|r| r.text("electrolyte") == salt) {
            let percent = r.number("percent");
            worst.see(format!("{percent} %"), at(salt, percent), r.number("ms_per_cm"), 0.0);
        }
        assert_eq!(worst.count, 8);
        rows.push(worst.row(crc("anodise-facts"), salt, &format!("conductivity of {salt} at 20 C"), "mS/cm"));
    }
    for r in read("published/anodise-facts/drops.csv") {
        let (salt, percent, ma) = (r.text("electrolyte"), r.number("percent"), r.number("ma_per_cm2"));
        let ours = 1e-3 * ma * resistance_ohm(at(salt, percent), 50.0, 1.0);
        let what = format!("volts lost over 5 cm of {percent} % {salt} at {ma} mA/cm2");
        let (expected, tolerance) = (r.number("drop_v"), r.number("tolerance_v"));
        let key = format!("C11-{salt}-{percent}-{ma}");
        rows.push(row(&key, &what, ("i L / kappa", "derived"), (expected, ours), tolerance, "V"));
    }
    rows.iter_mut().for_each(|r| r.key = r.key.replace("anodise-facts/", "anodise-facts-bath/"));
    record("anodise-facts-bath", rows);
    // And a plan reckons with the same: 5 cm of 1 % citric acid are 2381 ohm cm2.
    let plan = done(&engine, &sheet("citric-acid", 3.0, 20.0));
    let notes = &last_route(&plan).notes;
    assert!(notes.iter().any(|n| n.contains("2.1 mS/cm") && n.contains("2381 ohm cm2")), "{notes:?}");
}

/// A sheet of titanium, 10 cm2 on each side, at `volts`, under a supply of `most_a`.
fn sheet(electrolyte: &str, most_a: f64, volts: f64) -> String {
    format!(
        "schema = 1\n[part]\nmetal = \"titanium\"\n[part.shape]\nkind = \"sheet\"\nlength_mm = 50\nwidth_mm = 20\n\
         thickness_mm = 0.5\n[[bath]]\nname = \"jar\"\nelectrolyte = \"{electrolyte}\"\npercent = 1\n\
         [[anodiser]]\nname = \"supply\"\nkind = \"regulated\"\nisolated = true\nmax_voltage_v = 110\n\
         max_current_a = {most_a}\ngap_mm = 50\n[[step]]\nroute = \"anodise\"\nvoltage_v = {volts}\n"
    )
}

#[test]
fn hydrogen_and_surge() {
    let engine = Engine::new().unwrap();
    let sizing = |most_a: f64, volts: f64| {
        let plan = done(&engine, &sheet("ammonium-sulfate", most_a, volts));
        last_route(&plan).sizing.clone().unwrap()
    };
    let weak = sizing(0.05, 60.0);
    let litres = weak.hydrogen_ml / weak.charge_c * 3600.0 * 1e-3;
    let hydrogen = ("I t / (z F) at 25 C and 1 atm", "derived");
    let what = "hydrogen in an hour for each ampere, as a plan's sizing gives it";
    let mut rows = vec![row("X09", what, hydrogen, (0.456, litres), 0.5e-2 * 0.456, "L")];
    let words = weak.words.iter().find(|w| w.contains("in the surge")).unwrap();
    let number: f64 = words.split("asks for ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    let what = "0.1 A/in2 in mA/cm2, as a plan's sizing asks for it above 50 V";
    rows.push(row(
        "C13",
        what,
        ("trade page", "common practice, no source; conversion derived"),
        (15.5, number),
        0.0,
        "mA/cm2",
    ));
    rows.iter_mut().for_each(|r| r.key = r.key.replace("anodise-facts/", "anodise-facts-sizing/"));
    record("anodise-facts-sizing", rows);
    // It is asked for above 50 V alone, and of weak supplies alone.
    assert!(!sizing(0.05, 49.0).words.iter().any(|w| w.contains("in the surge")));
    assert!(!sizing(3.0, 60.0).words.iter().any(|w| w.contains("in the surge")));
}
