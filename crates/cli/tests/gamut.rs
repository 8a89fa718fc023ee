//! `huewright gamut` as a person and a program meet it.

#![allow(clippy::unwrap_used, reason = "helpers of a test")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const SHOP: &str = "examples/bells/workshop.toml";
const BLUE: &str = "examples/bells/blue-dome.toml";

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

/// A workshop with a bath alone: quick, and one kind of way.
fn bath(name: &str, isolated: bool) -> String {
    let path = folder(name).join("shop.toml");
    let body = format!(
        "schema = 1\nname = \"one jar\"\n[[metal]]\nid = \"titanium\"\n[[metal]]\nid = \"copper\"\n\
         [[bath]]\nname = \"jar\"\nelectrolyte = \"citric-acid\"\n\
         [[anodiser]]\nname = \"supply\"\nkind = \"regulated\"\nisolated = {isolated}\nmax_voltage_v = 90\nrepeatability_v = 0.5\n"
    );
    std::fs::write(&path, body).unwrap();
    path.display().to_string()
}

#[test]
fn the_json_keeps_its_contract() {
    let shop = bath("gamut-json", true);
    let output = huewright(&["gamut", "deep blue", "--workshop", &shop, "--json", "--why"]);
    assert!(output.status.success(), "{}", text(&output.stderr));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((found["schema"].as_i64(), found["cell"].as_f64()), (Some(1), Some(4.0)));
    assert_eq!(found["target"]["name"], "deep blue");
    assert!(!found["why"].as_array().unwrap().is_empty());
    let way = &found["ways"][0];
    for key in ["title", "kind", "why_not", "start", "steps", "curve", "cells", "area", "hues", "most_vivid", "names"] {
        assert!(!way[key].is_null(), "{key}");
    }
    for key in ["nearest", "most_vivid_at_hue", "reasons", "notes", "stand_ins", "cautions"] {
        assert!(!way[key].is_null(), "{key}");
    }
    assert_eq!(way["hues"].as_array().unwrap().len(), 36);
    let spot = &way["nearest"];
    for key in ["lab", "chroma", "hue_deg", "srgb", "srgb_out_of_gamut", "name", "delta_e", "steps", "finish"] {
        assert!(!spot[key].is_null(), "{key}");
    }
    assert!(spot["steps"][0]["settings"]["voltage_v"].is_number());
    let hue = way["hues"].as_array().unwrap().iter().find(|h| !h.is_null()).unwrap();
    assert!(hue["chroma"].as_f64().unwrap() >= 10.0 && hue["lightness"].as_array().unwrap().len() == 2);
    let cell = &way["cells"][0];
    for key in ["a", "b", "lightness", "srgb"] {
        assert!(!cell[key].is_null(), "{key}");
    }
    let kind = &found["kinds"][0];
    for key in ["title", "ways", "area", "most_vivid_way", "hues", "lightness", "gaps_deg", "names_missing"] {
        assert!(!kind[key].is_null(), "{key}");
    }
    // Copper grows nothing in a bath: listed, with why.
    let out = found["ways"].as_array().unwrap().iter().find(|w| !w["why_not"].as_array().unwrap().is_empty()).unwrap();
    assert_eq!(out["start"]["base"]["material"], "copper");
    assert!(out["kind"].is_null() && out["cells"].as_array().unwrap().is_empty());
    // The 90 V that the supply gives pass the limits at 30 and 60 V.
    let cautions = way["cautions"].to_string();
    assert!(cautions.contains("Above 30 V") && cautions.contains("Above 60 V"), "{cautions}");
}

#[test]
fn the_same_question_has_the_same_answer() {
    let shop = bath("gamut-same", true);
    let once = huewright(&["gamut", "--workshop", &shop, "--json"]).stdout;
    assert_eq!(once, huewright(&["gamut", "--workshop", &shop, "--json"]).stdout);
}

#[test]
fn a_person_reads_words_gaps_and_reasons() {
    let shop = bath("gamut-words", true);
    let output = huewright(&["gamut", "deep blue", "--workshop", &shop]);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    let words = text(&output.stdout);
    for expected in
        ["A. anodise titanium", "most vivid", "hues without colour", "words it never earns", "why:", "copper"]
    {
        assert!(words.contains(expected), "'{expected}' is missing in: {words}");
    }
    assert!(words.contains("Cautions (local codes"), "{words}");
    assert!(!words.contains('\u{1b}'));
}

#[test]
fn nothing_to_reach_is_no_answer() {
    let shop = bath("gamut-refused", false);
    let output = huewright(&["gamut", "--workshop", &shop, "--json"]);
    assert_eq!(output.status.code(), Some(1), "{}", text(&output.stderr));
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(found["kinds"].as_array().unwrap().is_empty());
    assert!(found["ways"].to_string().contains("not isolated"));
}

#[test]
fn a_lacquered_part_is_told_to_be_stripped() {
    let from = "examples/bells/lacquered-matte.toml";
    let output = huewright(&["gamut", "--workshop", SHOP, "--from", from]);
    assert_eq!(output.status.code(), Some(1));
    assert!(text(&output.stdout).contains("a clear coat lies over it"), "{}", text(&output.stdout));
}

#[test]
fn bad_input_gets_one_clear_error() {
    let shop = bath("gamut-bad", true);
    for (arguments, word) in [
        (vec!["gamut", "blu", "--workshop", &shop], "blu"),
        (vec!["gamut", "--workshop", &shop, "--geometry", "excluded"], "--geometry"),
        (vec!["gamut", "--workshop", "nowhere.toml"], "nowhere.toml"),
        (vec!["gamut", "--workshop", &shop, "--picture", "reach.gif"], ".svg or .png"),
        (vec!["gamut", "--workshop", &shop, "--picture", &shop], "overwritten"),
        (vec!["gamut", "--workshop", &shop, "--tilt", "95"], "95"),
    ] {
        let output = huewright(&arguments);
        let error = text(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {error}");
        assert!(output.stdout.is_empty() && error.trim_end().lines().count() == 1, "{error}");
        assert!(error.contains(word), "{arguments:?}: '{word}' is missing in: {error}");
    }
}

#[test]
fn the_picture_is_labelled_and_whole() {
    let (shop, path) = (bath("gamut-picture", true), folder("gamut-pictures"));
    let (svg, png) = (path.join("reach.svg"), path.join("reach.png"));
    for picture in [&svg, &png] {
        let picture = picture.display().to_string();
        let output = huewright(&["gamut", "deep blue", "--workshop", &shop, "--from", BLUE, "--picture", &picture]);
        assert!(output.status.success(), "{}", text(&output.stderr));
    }
    let drawn = std::fs::read_to_string(&svg).unwrap();
    for expected in ["<title>", "<desc>", "a*", "b*", "anodise titanium", "wanted: deep blue", "C* by hue", "L* by hue"]
    {
        assert!(drawn.contains(expected), "{expected}");
    }
    assert!(!drawn.contains("NaN") && !drawn.contains("inf "));
    assert_eq!(&std::fs::read(&png).unwrap()[1..4], b"PNG");
}
