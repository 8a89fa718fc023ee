//! What `huewright plan` tells of a coater's chamber, as a person and a program meet it.

#![allow(clippy::unwrap_used, reason = "helpers of a test")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const MAGNETRON: &str = "examples/bells/recipe-gold-dark.toml";
const BLED: &str = "examples/bells/recipe-bled.toml";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn huewright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_huewright")).args(arguments).current_dir(root()).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn folder(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&path);
    std::fs::create_dir_all(&path).unwrap();
    path
}

#[test]
fn a_person_at_the_machine_reads_turns_gas_and_load() {
    let picture = folder("chamber-picture").join("plan.svg");
    let output = huewright(&["plan", MAGNETRON, "--picture", &picture.display().to_string()]);
    assert!(output.status.success(), "{}", text(&output.stderr));
    let said = text(&output.stdout);
    for words in [
        "  hold   30.4 nm come within",
        "11.4 turns, of which the last is broken",
        "  load   top, bottom",
        "rim above, rim below",
        "  gas    with rising flow the target jumps",
        "  warmth nothing known here forbids 250 C",
        "straight flight from target to part",
    ] {
        assert_eq!(said.matches(words).count(), 1, "'{words}' once in\n{said}");
    }
    // Two steps through time, then their chambers.
    let drawn = |i: usize| std::fs::read_to_string(picture.with_file_name(format!("plan-{i}.svg"))).unwrap();
    for (i, heading) in [(3, "The reactive gas"), (4, "The chamber from above")] {
        let svg = drawn(i);
        assert!(svg.contains(heading) && svg.contains("<title>") && svg.contains("<desc>from above"), "{svg}");
    }
    assert!(!drawn(4).contains("The reactive gas"), "a panel without data is left out");
}

#[test]
fn a_film_of_changing_composition_tells_its_slices() {
    let said = text(&huewright(&["plan", BLED]).stdout);
    assert!(said.contains("  grade  composition 0.00 at first, 0.60 at last"), "{said}");
    assert!(said.contains("8 even slices"), "{said}");
}

#[test]
fn limits_are_judged_by_axis_and_by_place() {
    let recipe = std::fs::read_to_string(root().join(MAGNETRON)).unwrap();
    let bells = root().join("examples/bells").canonicalize().unwrap();
    let recipe = recipe
        .replace("colour = \"deep blue\"", "lab = [29, 11, -40]\nlimits = { l = 3, a = 1, b = [-2, 4] }")
        .replace("workshop = \"", &format!("workshop = \"{}/", bells.display()))
        .replace("part = \"", &format!("part = \"{}/", bells.display()));
    let path = folder("chamber-limits").join("recipe.toml");
    std::fs::write(&path, recipe).unwrap();
    let path = path.display().to_string();
    let said = text(&huewright(&["plan", &path]).stdout);
    for words in [
        "limits about L* 29.0, a* +11.0, b* -40.0 (D65, 2 degrees)",
        "allowed -2.0 to +4.0",
        "FAILS: top off",
        "of 100 parts pass",
    ] {
        assert!(said.contains(words), "no '{words}' in\n{said}");
    }
    let found: Value = serde_json::from_slice(&huewright(&["plan", &path, "--json"]).stdout).unwrap();
    let limits = &found["areas"][0]["limits"];
    assert_eq!((limits["axes"].as_array().unwrap().len(), limits["positions"].as_array().unwrap().len()), (3, 3));
    let chamber = &found["steps"][2]["chamber"];
    for key in ["control", "turns", "load", "layers", "temperature"] {
        assert!(!chamber[key].is_null(), "{key}");
    }
    assert!(found["steps"][0]["chamber"].is_null());
}
