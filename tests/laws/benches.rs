//! Ready-made workshops: each is read, says for whom it is and that it is invented, and colours something.

use huewright::matching::{Match, MatchRequest, match_colour};
use huewright::{Conditions, Engine, parse_target};
use library::{Library, WorkshopFile};
use std::path::Path;

fn no_table(path: &Path) -> std::io::Result<Vec<u8>> {
    Err(std::io::Error::other(format!("a bench needs no other file, but names {}", path.display())))
}

fn read(engine: &Engine, name: &str, text: &str) -> WorkshopFile {
    WorkshopFile::read(name, text.as_bytes(), engine.library(), &no_table).unwrap_or_else(|e| panic!("{e}"))
}

fn bench(engine: &Engine, id: &str) -> WorkshopFile {
    let found = Library::benches().find(|b| b.id == id).unwrap();
    read(engine, id, found.text)
}

fn ways(engine: &Engine, workshop: &WorkshopFile, colour: &str) -> Match {
    let conditions = Conditions::default();
    let target = parse_target(engine, colour, &conditions).unwrap();
    match_colour(engine, &MatchRequest { target, workshop, from: None }, &conditions, |_, _| {}).unwrap()
}

#[test]
fn each_says_for_whom_it_is_and_that_it_is_invented() {
    let engine = Engine::new().unwrap();
    let ids: Vec<&str> = Library::benches().map(|b| b.id).collect();
    assert_eq!(ids, ["coater", "jeweller", "kitchen", "school"]);
    for bench in Library::benches() {
        assert!(bench.text.starts_with(&format!("# {}", bench.words)), "{}", bench.id);
        assert!(bench.words.starts_with("For a ") && bench.words.ends_with("Invented."), "{}", bench.words);
        let name = read(&engine, bench.id, bench.text).name.unwrap();
        assert!(name.ends_with("(invented)"), "{name}");
    }
}

#[test]
fn the_bell_workshop_rides_along() {
    let engine = Engine::new().unwrap();
    let (name, text) = Library::examples().iter().find(|(name, _)| *name == "bells/workshop.toml").unwrap();
    assert!(read(&engine, name, text).name.unwrap().ends_with("(invented)"));
    let on_disk = Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples").join(name);
    assert_eq!(*text, std::fs::read_to_string(on_disk).unwrap());
}

#[test]
fn each_bench_reaches_a_colour() {
    let engine = Engine::new().unwrap();
    for (id, colour) in
        [("kitchen", "purple"), ("kitchen", "blue"), ("jeweller", "blue"), ("school", "blue"), ("coater", "gold")]
    {
        let found = ways(&engine, &bench(&engine, id), colour);
        let best = found.ways.first().unwrap();
        assert!(best.feasible, "{id}: no way to {colour}: {:?}", best.why_not);
    }
}

/// No supply of the school passes the first limit of touch (data/cautions.toml), nor do the ways to these colours.
#[test]
fn the_school_stays_below_the_first_caution_of_voltage() {
    let engine = Engine::new().unwrap();
    let school = bench(&engine, "school");
    let (_, limit) = engine.library().cautions().iter().find(|c| c.id == "voltage-30").unwrap().above.clone().unwrap();
    assert!(school.anodisers.iter().all(|a| a.isolated == Some(true) && a.max_voltage_v <= limit));
    for colour in ["purple", "deep blue", "blue"] {
        let found = ways(&engine, &school, colour);
        assert!(found.ways.iter().any(|w| w.feasible), "nothing at all gives {colour}");
        for way in found.ways.iter().filter(|w| w.feasible) {
            assert!(way.cautions.iter().all(|c| c.id != "voltage-30" && c.id != "voltage-60"), "{colour}");
        }
    }
}
