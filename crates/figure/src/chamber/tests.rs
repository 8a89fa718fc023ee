//! The chamber as a whole: what has no data is left out, what is drawn is told.

use super::*;

fn whole() -> ChamberFigure {
    let place = |name: &str, fails: bool| PlaceMark {
        name: name.to_owned(),
        colour: "#174683".to_owned(),
        lines: vec!["74 %, 23.7 nm".to_owned(), "purple".to_owned()],
        fails,
    };
    ChamberFigure {
        title: "dome <dark>".to_owned(),
        above: Some(Above {
            turning: Some("3 rpm".to_owned()),
            table_mm: 250.0,
            satellite_mm: 0.0,
            satellites_mm: Vec::new(),
            targets: vec![TargetMark { at_mm: [380.0, 0.0], bearing_deg: 0.0, width_mm: 80.0 }],
            path_mm: vec![[250.0, 0.0], [0.0, 250.0], [-250.0, 0.0], [0.0, -250.0], [250.0, 0.0]],
            rate: vec![30.0, 2.0, 0.0, 2.0, 30.0],
            rate_unit: "nm/min".to_owned(),
            turn_deg: vec![0.0, 90.0, 180.0, 270.0, 360.0],
            laid: vec![0.4, 1.2, 1.3, 1.4, 2.6],
            laid_label: "laid in one turn, nm".to_owned(),
        }),
        flow: Some(FlowCurve {
            gas: "nitrogen".to_owned(),
            curve: vec![[0.0, 440.0], [14.0, 395.0], [11.0, 360.0], [20.0, 348.0]],
            steady: vec![true, true, true, true],
            up: vec![[2.0, 436.0]],
            down: vec![[16.0, 350.0]],
            jumps: Some([14.0, 11.0]),
            chosen: Some(9.0),
            known: None,
            words: vec!["words of the gas".to_owned()],
        }),
        growth: Some(Growth {
            thickness_nm: vec![0.0, 16.0, 32.0],
            colours: vec!["#e4b672".to_owned(), "#a65452".to_owned(), "#174683".to_owned()],
            words: vec!["gold".to_owned(), "rose".to_owned(), "deep blue".to_owned()],
            composition: Some(vec![0.0, 0.3, 0.6]),
            note: String::new(),
        }),
        load: vec![PlaceColumn { heading: "now".to_owned(), places: vec![place("top", true), place("middle", false)] }],
        caption: "caption".to_owned(),
    }
}

#[test]
fn each_panel_stands_for_itself() {
    let all = whole();
    let headings = ["The chamber from above", "The reactive gas", "The film as it grows", "The load"];
    let svg = all.svg();
    for (letter, heading) in ["A", "B", "C", "D"].iter().zip(headings) {
        assert!(svg.contains(&format!(">{letter}  {heading}<")), "{heading}");
    }
    // Without the gas the film is the second panel.
    let some = ChamberFigure { flow: None, ..all.clone() }.svg();
    assert!(!some.contains(headings[1]) && some.contains(">B  The film as it grows<"));
    let none = ChamberFigure { above: None, flow: None, growth: None, load: Vec::new(), ..all };
    assert!(headings.iter().all(|h| !none.svg().contains(h)));
}

#[test]
fn who_hears_the_picture_hears_the_numbers() {
    let svg = whole().svg();
    let heard = svg.split("<desc>").nth(1).and_then(|s| s.split("</desc>").next()).unwrap_or_default();
    for part in [
        "targets at 0 degrees, table of 250 mm, 3 rpm",
        "laid in one turn, nm: 2.60",
        "jumps at 14.0 sccm while the flow rises, back at 11.0",
        "gold from 0.0 to 8.0 nm",
        "composition from 0.00 to 0.60",
        "top: 74 %, 23.7 nm, purple, outside the limits",
    ] {
        assert!(heard.contains(part), "{part}: {heard}");
    }
    assert!(svg.contains("<title>dome &lt;dark&gt;</title>"));
}

#[test]
fn a_load_that_stands_still_has_no_steps() {
    let mut still = whole();
    if let Some(above) = &mut still.above {
        above.turning = None;
    }
    let svg = still.svg();
    assert!(svg.contains("stand still") && !svg.contains("turn of the table, degrees"));
}
