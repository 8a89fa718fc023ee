//! The trade words: each aims at a colour of its own, and every colour gets one.

use colour::SRGB;
use huewright::{Conditions, Engine, parse_target};
use huewright_tests::accuracy::{Row, record};
use std::collections::BTreeSet;

#[test]
fn every_target_is_named_by_its_own_word() {
    let engine = Engine::new().unwrap();
    let names = engine.names();
    let mut seen = BTreeSet::new();
    for row in names.rows() {
        assert!(seen.insert(row.name.as_str()), "'{}' stands twice", row.name);
        assert!(row.holds(row.target), "the target of '{}' lies outside its own row", row.name);
        assert_eq!(names.name(row.target), row.name, "the target of '{}' is called otherwise", row.name);
        assert!(row.reason.len() > 10, "'{}' gives no reason", row.name);
        let asked = parse_target(&engine, &row.name.to_uppercase(), &Conditions::default()).unwrap();
        assert_eq!(asked.lab, row.target);
    }
    // The words that the trade is promised (product.md).
    for word in [
        "straw",
        "bronze",
        "purple",
        "deep blue",
        "sky",
        "silver",
        "gold",
        "rose",
        "magenta",
        "violet",
        "teal",
        "green",
        "slate",
    ] {
        assert!(seen.contains(word), "{word}");
    }
}

/// Every colour of sRGB gets a word; few fall between the rows and take the nearest one.
#[test]
fn colours_between_the_rows() {
    let engine = Engine::new().unwrap();
    let (mut between, mut all) = (0_u32, 0_u32);
    for r in (0..=255_u8).step_by(15) {
        for g in (0..=255_u8).step_by(15) {
            for b in (0..=255_u8).step_by(15) {
                let lab = SRGB.lab([r, g, b].map(|v| f64::from(v) / 255.0));
                assert!(!engine.names().name(lab).is_empty());
                between += u32::from(!engine.names().rows().iter().any(|row| row.holds(lab)));
                all += 1;
            }
        }
    }
    let share = 100.0 * f64::from(between) / f64::from(all);
    record(
        "names",
        vec![Row {
            key: "names/coverage".to_owned(),
            what: "colours of sRGB (18 steps a channel) that no row of the names holds and the nearest target names"
                .to_owned(),
            source: "data/colour-names.toml".to_owned(),
            status: "law".to_owned(),
            expected: "0 %".to_owned(),
            ours: format!("{share:.1} %"),
            miss: share,
            tolerance: 0.0,
            unit: "percent".to_owned(),
            why: Some("by design: a colour between the rows takes the word of the nearest target".to_owned()),
        }],
    );
}
