//! Our trade words against the named colours of CSS.
//!
//! The borders of `data/colour-names.toml` were judged from these very colours, so agreement is calibration, not proof.
//! `words.csv` was written before the comparison was run.

use huewright::{Conditions, Engine, parse_target};
use huewright_tests::accuracy::{Row, record};
use huewright_tests::tables::read;

#[test]
fn words_for_css_colours() {
    let engine = Engine::new().unwrap();
    let words = read("published/css-named-colours/words.csv");
    let colours = read("published/css-named-colours/colours.csv");
    assert_eq!(words.len(), colours.len());
    let mut disagreements = Vec::new();
    for (colour, accepted) in colours.iter().zip(&words) {
        assert_eq!(colour.text("name"), accepted.text("name"));
        let accepted = accepted.words("accepted");
        for word in &accepted {
            assert!(engine.names().find(word).is_some(), "'{word}' is none of our words");
        }
        let lab = parse_target(&engine, colour.text("hex"), &Conditions::default()).unwrap().lab;
        let ours = engine.names().name(lab);
        if !accepted.iter().any(|word| word == ours) {
            disagreements.push(format!("{}: {ours}", colour.text("name")));
        }
    }
    // peru is light and strong enough for our orange (L* 52, chroma 50 and up); deeppink has the hue of our rose, and is
    // too dark for our pink, whose lower border is L* 70.
    let known = ["peru: orange", "deeppink: rose"];
    assert_eq!(disagreements, known);
    record(
        "css-named-colours",
        vec![Row {
            key: "css-named-colours/words".to_owned(),
            what: "named colours of CSS that get an acceptable trade word".to_owned(),
            source: "W3C, CSS Color Module Level 4, named colours".to_owned(),
            status: "calibration: the borders of the words were judged from these colours".to_owned(),
            expected: format!("{} of {}", colours.len(), colours.len()),
            ours: format!("{} of {}; {}", colours.len() - disagreements.len(), colours.len(), disagreements.join(", ")),
            #[expect(clippy::cast_precision_loss, reason = "a small count")]
            miss: disagreements.len() as f64,
            tolerance: 0.0,
            unit: "colours".to_owned(),
            why: Some(
                "peru is light and strong enough for our orange; deeppink is too dark for our pink and has the hue of our rose"
                    .to_owned(),
            ),
        }],
    );
}
