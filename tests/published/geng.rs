//! How far the hue of a dark nitride on nitride drifts from 6 to 60 degrees: a published bound, our stand-in tables.

use colour::Lab;
use huewright::look::look;
use huewright::{Conditions, Engine};
use huewright_tests::accuracy::{Row, record};
use huewright_tests::finishes::coated;
use huewright_tests::tables::read;

#[test]
fn hue_of_dark_nitride_on_nitride_drifts_little() {
    let engine = Engine::new().unwrap();
    let rows = read("published/geng-2023/drift.csv")
        .iter()
        .map(|r| {
            let mut finish = coated(("tin", ""), ("tialn", ""), r.number("thickness_nm"));
            finish.films[0].composition = Some(r.number("composition"));
            let hue = |tilt_deg: f64| {
                let [l, a, b] = look(&engine, &finish, &Conditions { tilt_deg, ..Conditions::default() }).unwrap().lab;
                Lab { l, a, b }.lch()
            };
            let (from, to) = (hue(r.number("from_deg")), hue(r.number("to_deg")));
            assert!(from.c > 10.0, "a hue needs a colour: {from:?}");
            let turn = (to.h - from.h + 180.0).rem_euclid(360.0) - 180.0;
            let claim_deg = 180.0 * r.number("claim_pi");
            Row {
                key: format!("geng-2023/{:0>3}-nm", r.text("thickness_nm")),
                what: format!(
                    "drift of hue from 6 to 60 degrees, {} nm of TiAlN (aluminium share {}, stand-in) on TiN",
                    r.text("thickness_nm"),
                    r.text("composition")
                ),
                source: "Geng et al., preprint of Nat. Commun. 14, 565 (2023), DOI 10.1038/s41467-023-36275-9"
                    .to_owned(),
                status: "published claim, other thickness and index".to_owned(),
                expected: format!("below {claim_deg:.1} (0.14 pi)"),
                ours: format!("{:.1} (hue {:.0} to {:.0}, chroma {:.0})", turn.abs(), from.h, to.h, from.c),
                miss: turn.abs(),
                tolerance: claim_deg,
                unit: "degrees of hue".to_owned(),
                why: (r.text("thickness_nm") == "20").then(|| {
                    "at 20 nm the film stands at the turn from red to purple, where hue moves fastest; our index is a \
                     stand-in, and the paper's own thicknesses were not read"
                        .to_owned()
                }),
            }
        })
        .collect();
    record("geng-2023", rows);
}
