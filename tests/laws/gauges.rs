//! Tables of gauges: each row worked out again from the rule that its source gives, and held against printed inches.

use library::{Form, GaugeTable, Library, Role};

const INCH_MM: f64 = 25.4;
/// Half the last digit of data/gauges.toml, mm, and room for a tie.
const HALF_DIGIT_MM: f64 = 5.001e-6;

fn table<'l>(library: &'l Library, id: &str) -> &'l GaugeTable {
    library.gauges().iter().find(|t| t.id == id).unwrap()
}

/// ASTM B258: 0.005 in at 36 and 0.46 in at 0000, equal ratios between; nothing else fixes the series.
#[test]
fn american_wire_gauge_is_a_geometric_series() {
    let library = Library::embedded().unwrap();
    let table = table(&library, "brown-sharpe");
    assert_eq!(table.gauges.len(), 44);
    for (gauge, mm) in table.gauges.iter().zip(&table.thickness_mm) {
        let number = if gauge.starts_with('0') { 1.0 - gauge.len() as f64 } else { gauge.parse().unwrap() };
        let inches = 0.005 * (0.46f64 / 0.005).powf((36.0 - number) / 39.0);
        assert!((mm - inches * INCH_MM).abs() <= HALF_DIGIT_MM, "{gauge}: {mm}");
    }
}

/// The weights of the Act of 1893 by its steps, and both tables from the weights: 40 and 41.82 lb/ft2 for each inch.
#[test]
fn steel_gauges_are_weights() {
    let library = Library::embedded().unwrap();
    for (id, pounds_per_inch) in [("us-standard", 40.0), ("manufacturers-standard", 41.82)] {
        let table = table(&library, id);
        let ounces = table.ounces_per_ft2.as_ref().unwrap();
        for ((gauge, mm), ounces) in table.gauges.iter().zip(&table.thickness_mm).zip(ounces) {
            let inches = ounces / 16.0 / pounds_per_inch;
            assert!((mm - inches * INCH_MM).abs() <= HALF_DIGIT_MM, "{id} {gauge}: {mm}");
        }
        // One gauge to the next the weight falls by a fixed step within each of these spans (from memory).
        let weight = |gauge: u32| ounces[table.gauges.iter().position(|g| *g == gauge.to_string()).unwrap()];
        for (from, to, step) in
            [(3, 14, 10.0), (14, 16, 5.0), (16, 20, 4.0), (20, 26, 2.0), (26, 31, 1.0), (31, 36, 0.5), (36, 38, 0.25)]
        {
            for gauge in from..to {
                assert!((weight(gauge) - weight(gauge + 1) - step).abs() < 1e-12, "{id} {gauge}");
            }
        }
    }
}

/// Inches as machinists' handbooks print them (from memory), half their last digit.
#[test]
fn printed_inches_agree() {
    let library = Library::embedded().unwrap();
    for (id, rows) in [
        ("brown-sharpe", [("10", 0.1019), ("16", 0.0508), ("20", 0.0320), ("24", 0.0201), ("30", 0.0100)]),
        ("us-standard", [("10", 0.1406), ("16", 0.0625), ("20", 0.0375), ("24", 0.0250), ("30", 0.0125)]),
        ("manufacturers-standard", [("10", 0.1345), ("16", 0.0598), ("20", 0.0359), ("24", 0.0239), ("30", 0.0120)]),
    ] {
        let table = table(&library, id);
        for (gauge, inches) in rows {
            let mm = table.thickness_mm[table.gauges.iter().position(|g| g == gauge).unwrap()];
            assert!((mm / INCH_MM - inches).abs() <= 0.5e-4 + 1e-9, "{id} {gauge}: {}", mm / INCH_MM);
        }
    }
}

#[test]
fn each_metal_has_one_meaning_and_thickness_falls() {
    let library = Library::embedded().unwrap();
    let mut seen = Vec::new();
    for table in library.gauges() {
        assert!(table.thickness_mm.windows(2).all(|w| w[0] > w[1]), "{}", table.id);
        for meaning in &table.meant {
            for metal in &meaning.of {
                assert!(library.serves_as(metal, Role::Base), "{metal}");
                let key = (metal.clone(), meaning.form == Form::Sheet);
                assert!(!seen.contains(&key), "{metal} twice");
                seen.push(key);
            }
        }
    }
}

/// The note on titanium: the steel gauge is up to a quarter thicker from 14 to 30.
#[test]
fn the_note_on_titanium_says_how_far_gauges_differ() {
    let library = Library::embedded().unwrap();
    let mm =
        |metal: &str, gauge: u32| library.gauge(&format!("{gauge} gauge"), metal, Form::Sheet).unwrap().thickness_mm;
    let most = (14..=30).map(|g| mm("stainless-austenitic", g) / mm("titanium", g)).fold(0.0, f64::max);
    assert!((1.20..=1.25).contains(&most), "{most}");
}
