//! `huewright correct` as a person and a program meet it.

#![allow(clippy::unwrap_used, reason = "helpers of a test")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const LOADS: &str = "examples/bells/loads.toml";

fn huewright(arguments: &[&str]) -> Output {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    Command::new(env!("CARGO_BIN_EXE_huewright")).args(arguments).current_dir(root).output().unwrap()
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

/// Runs of a shop whose film no table knows, with what is wanted or without.
fn house(name: &str, wanted: &str) -> String {
    let mut body = format!("schema = 1\nname = \"house blue\"\n{wanted}");
    for (flow, lab) in [(8, [40.0, 3.0, -38.0]), (10, [38.0, 5.0, -41.0]), (12, [36.0, 7.0, -43.0])] {
        body.push_str(&format!(
            "[[load]]\nacetylene_sccm = {flow}\n[[load.witness]]\nat = \"middle\"\nlab = {lab:?}\n"
        ));
    }
    for (flow, lab) in [(9, [39.2, 4.0, -39.4]), (11, [37.1, 6.2, -42.0])] {
        body.push_str(&format!(
            "[[load]]\nacetylene_sccm = {flow}\n[[load.witness]]\nat = \"middle\"\nlab = {lab:?}\n"
        ));
    }
    let path = folder(name).join("loads.toml");
    std::fs::write(&path, body).unwrap();
    path.display().to_string()
}

#[test]
fn a_load_that_drifts_is_explained_and_the_next_is_told() {
    let picture = folder("correct-picture").join("loads.svg");
    let picture = picture.display().to_string();
    let output = huewright(&["correct", LOADS, "--picture", &picture, "--why"]);
    assert!(output.status.success(), "{}", text(&output.stderr));
    let said = text(&output.stdout);
    for words in [
        "allowed differences: L* -2.5 to +2.5",
        "LOAD 3  2026-11-07",
        "FAILS on a*, b*",
        "thinner than ordered",
        "the target is worn",
        "check:",
        "change:",
        "NEXT LOAD",
        "set step 3: shutter",
        "Where the numbers come from",
    ] {
        assert!(said.contains(words), "no '{words}' in\n{said}");
    }
    let mut own = said.lines().take_while(|l| !l.starts_with("Where the numbers"));
    assert!(own.all(|l| l.chars().count() <= 100 || l.starts_with("Picture")), "{said}");
    let svg = std::fs::read_to_string(&picture).unwrap();
    assert!(svg.contains("Next load") && svg.contains("<desc>"), "{svg}");
}

#[test]
fn the_json_keeps_its_contract() {
    let output = huewright(&["correct", LOADS, "--json"]);
    assert!(output.status.success(), "{}", text(&output.stderr));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((found["schema"].as_i64(), found["film"].as_str()), (Some(1), Some("tialn")));
    for key in ["name", "seen_under", "wanted", "loads", "next", "notes", "cautions", "sources"] {
        assert!(!found[key].is_null(), "{key}");
    }
    let last = &found["loads"][2];
    for key in ["name", "date", "settings", "seconds", "changed", "witnesses", "foretold", "causes", "verdict"] {
        assert!(!last[key].is_null(), "{key}");
    }
    assert_eq!(last["causes"][0]["id"], "thin");
    assert_eq!(last["witnesses"][0]["passes"], false);
    let change = &found["next"]["set"][0];
    assert_eq!((change["step"].as_i64(), change["key"].as_str()), (Some(3), Some("seconds")));
    assert!(change["to"].as_f64() > change["from"].as_f64(), "{change}");
}

#[test]
fn runs_alone_speak_and_without_a_wish_nothing_can_be_said() {
    let output = huewright(&["correct", &house("correct-house", "[wanted]\nlab = [37.5, 5.5, -41.5]\n")]);
    assert!(output.status.success(), "{}", text(&output.stderr));
    assert!(text(&output.stdout).contains("WHAT THE SHOP'S OWN RUNS SAY"));
    let output = huewright(&["correct", &house("correct-nothing", "")]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stdout).contains("nothing says what is wanted"));
}

#[test]
fn a_wrong_log_gets_one_clear_error() {
    let path = folder("correct-wrong").join("loads.toml");
    for (body, words) in [
        ("schema = 1\n[[load]]\nargon_sccm = 60\n", "no load has a witness"),
        ("schema = 1\n[[load]]\nargon_sccm = 60\n[[load.witness]]\nat = \"middle\"\n", "lab"),
        (
            "schema = 1\nrecipe = \"none.toml\"\n[[load]]\n[[load.witness]]\nat = \"middle\"\nlab = [1, 2, 3]\n",
            "none.toml",
        ),
    ] {
        std::fs::write(&path, body).unwrap();
        let output = huewright(&["correct", &path.display().to_string()]);
        assert_eq!(output.status.code(), Some(2), "{body}");
        let said = text(&output.stderr);
        assert!(said.contains(words) && said.lines().count() == 1 && output.stdout.is_empty(), "{said}");
    }
    let given = path.display().to_string();
    let output = huewright(&["correct", LOADS, "--picture", &given]);
    assert_eq!(output.status.code(), Some(2), "{}", text(&output.stderr));
}

#[test]
fn of_a_long_log_the_last_loads_are_printed() {
    let load = |i: u32| {
        format!("[[load]]\nbias_v = {}\n[[load.witness]]\nat = \"middle\"\nlab = [{}, 4, 10]\n", 60 + i, 40 + i % 3)
    };
    let path = folder("correct-long").join("loads.toml");
    std::fs::write(&path, format!("schema = 1\n{}", (0..20).map(load).collect::<String>())).unwrap();
    let printed = text(&huewright(&["correct", &path.display().to_string()]).stdout);
    for words in ["The first 8 loads are not printed", "LOAD 9\n", "set: bias 68 V", "LOAD 20", "changed: bias 79 V"] {
        assert!(printed.contains(words), "no '{words}' in\n{printed}");
    }
    assert!(!printed.contains("LOAD 8"), "{printed}");
}
