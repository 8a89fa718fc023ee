//! Parts: from the file to an area, with the numbers that were used, and what is refused.

use huewright::part::{PartArea, area};
use huewright::{Engine, Fault};
use library::{Library, PartFile, Use};
use std::f64::consts::PI;

fn reckoned(body: &str) -> Result<PartArea, Fault> {
    let engine = Engine::new().unwrap();
    let part = PartFile::read("part.toml", format!("schema = 1\n{body}").as_bytes(), engine.library())?;
    area(&engine, &part)
}

fn refused(body: &str) -> String {
    reckoned(body).unwrap_err().to_string()
}

#[test]
fn shapes_reach_their_area() {
    for (shape, cm2) in [
        ("kind = \"sheet\"\nlength_mm = 100\nwidth_mm = \"2 in\"\nthickness_mm = 1", 101.6 + 3.016),
        ("kind = \"disc\"\ndiameter_mm = 58\nthickness_mm = 1", PI * (2.0 * 2.9 * 2.9 + 5.8 * 0.1)),
        ("kind = \"ring\"\nouter_diameter_mm = 21\ninner_diameter_mm = 18\nwidth_mm = 6", PI * (3.9 * 0.6 + 0.585)),
        (
            "kind = \"tube\"\nouter_diameter_mm = 21\ninner_diameter_mm = 18\nlength_mm = 6\nfaces = \"outer\"",
            PI * (2.1 * 0.6 + 0.585),
        ),
        ("kind = \"wire\"\ndiameter_mm = 1\nlength_mm = 1000", PI * (10.0 + 0.005)),
        ("kind = \"rod\"\ndiameter_mm = 1\nlength_mm = 1000", PI * (10.0 + 0.005)),
        ("kind = \"dome\"\ndiameter_mm = 58\nheight_mm = 29\nfaces = \"outer\"", 2.0 * PI * 2.9 * 2.9),
        ("kind = \"dome\"\ndiameter_mm = 58\nheight_mm = 29", 4.0 * PI * 2.9 * 2.9),
        ("kind = \"box\"\nlength_mm = 10\nwidth_mm = 20\nheight_mm = 30", 22.0),
        ("kind = \"sphere\"\ndiameter_mm = 20", 4.0 * PI),
    ] {
        let found = reckoned(&format!("metal = \"titanium\"\ncount = 3\n[shape]\n{shape}")).unwrap();
        assert!((found.one_cm2 / cm2 - 1.0).abs() < 1e-12, "{shape}: {} against {cm2}", found.one_cm2);
        assert!((found.area_cm2 - 3.0 * found.one_cm2).abs() < 1e-9 && found.count == 3);
        assert!(found.how.contains("3 alike"), "{}", found.how);
    }
}

/// 42 g of grade 2 from 24 gauge: 2 x 42 / (4.51 x 0.0510556) = 364.8 cm2, by hand.
#[test]
fn a_weighed_part_says_what_it_took() {
    for size in ["gauge = \"24 gauge\"", "gauge = 24", "thickness_mm = \"24 gauge\""] {
        let found = reckoned(&format!("metal = \"titanium\"\n[weighed]\nweight_g = \"42 g\"\n{size}")).unwrap();
        assert!((found.area_cm2 - 364.8).abs() < 0.05, "{}", found.area_cm2);
        for said in ["42 g", "4.51 g/cm3", "register", "24 gauge of Brown & Sharpe", "0.5106 mm"] {
            assert!(found.how.contains(said), "{said}: {}", found.how);
        }
        assert!(found.notes.iter().any(|n| n.contains("caliper")), "{:?}", found.notes);
    }
    let by_length = reckoned("metal = \"titanium\"\n[weighed]\nweight_g = 42\nthickness_mm = 0.5").unwrap();
    assert!(by_length.notes.iter().all(|n| !n.contains("caliper")));
}

/// 1 troy ounce of silver wire 1 mm thick: 4 x 31.1035 / (10.49 x 0.1) = 118.6 cm2, by hand.
#[test]
fn weighed_wire_is_told_by_its_diameter() {
    let found = reckoned("metal = \"silver\"\n[weighed]\nweight_g = \"1 ozt\"\ndiameter_mm = 1").unwrap();
    assert!((found.area_cm2 - 118.6).abs() < 0.05, "{}", found.how);
    let wire = "metal = \"silver\"\n[weighed]\nkind = \"wire\"\nweight_g = 31\ngauge = \"18 AWG\"";
    assert!(reckoned(wire).unwrap().how.contains("1.024 mm"));
}

#[test]
fn a_density_that_is_missing_is_asked_for() {
    let body = "metal = \"brass-70-30\"\n[weighed]\nweight_g = 10\nthickness_mm = 0.5";
    let message = refused(body);
    assert!(message.contains("'brass-70-30'") && message.contains("density_g_cm3"), "{message}");
    let found = reckoned(&format!("{body}\ndensity_g_cm3 = 8.53")).unwrap();
    assert!((found.one_cm2 - 2.0 * 10.0 / (8.53 * 0.05)).abs() < 1e-9 && found.how.contains("as given"));
    // The shape needs none.
    assert!(reckoned("metal = \"brass-70-30\"\n[shape]\nkind = \"sphere\"\ndiameter_mm = 5").is_ok());
}

#[test]
fn texture_use_and_cautions_ride_along() {
    let body = "metal = \"titanium-grade-5\"\ntexture = \"blasted\"\nuse = [\"food\", \"child\"]\n[shape]\nkind = \"sphere\"\ndiameter_mm = 5";
    let found = reckoned(body).unwrap();
    assert!(found.notes.iter().any(|n| n.contains("texture")));
    assert_eq!(
        found.cautions.iter().map(|c| c.id.as_str()).collect::<Vec<_>>(),
        ["vanadium-food", "food-contact", "child-small-parts"]
    );
    let library = Library::embedded().unwrap();
    let part = PartFile::read("p", format!("schema = 1\n{body}").as_bytes(), &library).unwrap();
    assert_eq!(part.uses, [Use::Food, Use::Child]);
}

#[test]
fn what_is_wrong_is_said_once_with_what_to_do() {
    const DISC: &str = "[shape]\nkind = \"disc\"\ndiameter_mm = 58\nthickness_mm = 1";
    for (body, part) in [
        ("metal = \"titanum\"\n".to_owned() + DISC, "did you mean 'titanium'"),
        ("metal = \"lacquer\"\n".to_owned() + DISC, "not a metal"),
        (DISC.to_owned(), "metal: is missing"),
        ("metal = \"titanium\"".to_owned(), "[weighed]"),
        ("metal = \"titanium\"\ncount = 2.5\n".to_owned() + DISC, "a whole number"),
        ("metal = \"titanium\"\ncount = 0\n".to_owned() + DISC, "allowed is 1 to"),
        ("metal = \"titanium\"\nuse = [\"skn\"]\n".to_owned() + DISC, "did you mean 'skin'"),
        ("metal = \"titanium\"\ncuont = 2\n".to_owned() + DISC, "did you mean 'count'"),
        ("metal = \"titanium\"\n".to_owned() + DISC + "\n[weighed]\nweight_g = 1\nthickness_mm = 1", "keep one"),
        ("metal = \"titanium\"\n".to_owned() + DISC + "\ngauge = 24", "keep one"),
        ("metal = \"titanium\"\n".to_owned() + DISC + "\nthicknes_mm = 1", "did you mean 'thickness_mm'"),
        ("metal = \"titanium\"\n[shape]\nkind = \"dsic\"".to_owned(), "did you mean 'disc'"),
        ("metal = \"nickel\"\n[weighed]\nweight_g = 1\ngauge = 24".to_owned(), "no fixed meaning"),
        ("metal = \"titanium\"\n[weighed]\nweight_g = \"1 V\"\ngauge = 24".to_owned(), "does not measure"),
        ("metal = \"titanium\"\n[shape]\nkind = \"sphere\"\ndiameter_mm = \"24 gauge\"".to_owned(), "does not measure"),
        (
            "metal = \"titanium\"\n[shape]\nkind = \"ring\"\nouter_diameter_mm = 18\ninner_diameter_mm = 18\nwidth_mm = 2"
                .to_owned(),
            "exchange them",
        ),
        (
            "metal = \"titanium\"\n[shape]\nkind = \"dome\"\ndiameter_mm = 58\nheight_mm = 9\nfaces = \"inner\"".to_owned(),
            "\"both\" or \"outer\"",
        ),
    ] {
        let message = refused(&body);
        assert!(message.contains(part) && !message.contains('\n'), "{body}\n{message}");
    }
}

/// Field names are a contract (docs/json.md).
#[test]
fn json_holds_the_fields_of_the_contract() {
    let found = reckoned("metal = \"titanium\"\n[shape]\nkind = \"sphere\"\ndiameter_mm = 20").unwrap();
    let json = serde_json::to_value(&found).unwrap();
    let keys: Vec<&str> = json.as_object().unwrap().keys().map(String::as_str).collect();
    assert_eq!(keys, ["schema", "area_cm2", "one_cm2", "count", "how", "notes", "cautions"]);
    assert_eq!(json["how"], "sphere, 20 mm across: 12.57 cm2");
}
