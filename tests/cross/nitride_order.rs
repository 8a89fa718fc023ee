//! Colours of titania on titanium nitride in words: names written beside other tables, compared with the default ones.

use huewright::look::look;
use huewright::ribbon::{Axis, RibbonRequest, ribbon};
use huewright::{Conditions, Engine};
use huewright_tests::accuracy::{Row, record};
use huewright_tests::finishes::coated;
use huewright_tests::tables::read;

fn why(thickness: &str) -> Option<&'static str> {
    match thickness {
        "60" => Some("its hue of 120 lies beyond our champagne, which ends at 112: a very pale green"),
        "80" => Some("its chroma of 35 lies beyond our straw, which ends at 30: already a yellow"),
        _ => None,
    }
}

#[test]
fn words_at_thicknesses() {
    let engine = Engine::new().unwrap();
    let rows = read("cross/nitride-order/order.csv")
        .iter()
        .map(|r| {
            let words = r.words("accepted");
            for word in &words {
                assert!(engine.names().find(word).is_some(), "'{word}' is none of our words");
            }
            let at = r.number("thickness_nm");
            let seen = look(&engine, &coated(("tin", ""), ("titania-anodic", ""), at), &Conditions::default()).unwrap();
            let request = RibbonRequest {
                finish: coated(("tin", ""), ("titania-anodic", ""), at),
                axis: Axis::Thickness { film: 0 },
                from: 0.0,
                to: 160.0,
                points: 321,
                tilts_deg: Vec::new(),
            };
            let points = ribbon(&engine, &request, &Conditions::default()).unwrap().rows.remove(0).points;
            let away = points.iter().filter(|p| words.contains(&p.shown.name)).map(|p| (p.value - at).abs());
            let [l, a, b] = seen.lab;
            Row {
                key: format!("nitride-order/{:0>3}-nm", r.text("thickness_nm")),
                what: format!("colour word of {at} nm of titania on titanium nitride, default tables"),
                source: "words beside other tables (titania Jolivet 2023 on nitride Beliaev 2023)".to_owned(),
                status: "derived".to_owned(),
                expected: format!("{} ({})", r.text("stated"), words.join(", ")),
                ours: format!("{} (lab({l:.0}, {a:.0}, {b:.0}))", seen.shown.name),
                // nm to the nearest accepted colour: 0 is a hit.
                miss: away.fold(f64::MAX, f64::min),
                tolerance: 0.0,
                unit: "nm".to_owned(),
                why: why(r.text("thickness_nm")).map(ToOwned::to_owned),
            }
        })
        .collect();
    record("nitride-order", rows);
}
