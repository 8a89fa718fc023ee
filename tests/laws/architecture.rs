//! The house keeps its arrows: which crate may use which, read from cargo's own graph; and the rooms of physics do no IO.

use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Each room and the rooms that it may use (ARCHITECTURE.md). Arrows point right only.
const ARROWS: &[(&str, &[&str])] = &[
    ("huewright-quantities", &[]),
    ("huewright-optics", &[]),
    ("huewright-colour", &[]),
    ("huewright-part", &[]),
    ("huewright-routes", &[]),
    ("huewright-library", &["huewright-quantities"]),
    (
        "huewright",
        &[
            "huewright-colour",
            "huewright-library",
            "huewright-optics",
            "huewright-part",
            "huewright-quantities",
            "huewright-routes",
        ],
    ),
    ("huewright-figure", &[]),
    ("huewright-desk", &["huewright", "huewright-figure", "huewright-library", "huewright-quantities"]),
    (
        "huewright-cli",
        &[
            "huewright",
            "huewright-desk",
            "huewright-figure",
            "huewright-library",
            "huewright-quantities",
            "huewright-server",
        ],
    ),
    ("huewright-server", &["huewright-desk"]),
    ("huewright-wasm", &["huewright-desk"]),
    ("huewright-glue", &[]),
    (
        "huewright-tests",
        &["huewright", "huewright-colour", "huewright-library", "huewright-optics", "huewright-routes"],
    ),
    ("xtask", &[]),
];

/// Rooms that know formulas or hold values: no disk, no clock, no printing, no randomness of their own.
const PURE: &[&str] = &["quantities", "optics", "colour", "part", "routes", "library", "huewright", "figure", "desk"];
const FORBIDDEN: &[&str] = &[
    "std::fs",
    "File::open",
    "std::net",
    "SystemTime",
    "Instant::now",
    "println!",
    "thread_rng",
    "static mut",
    "std::env",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn graph() -> BTreeMap<String, Vec<String>> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--no-deps", "--offline"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    let packages = metadata["packages"].as_array().unwrap();
    let name = |v: &Value| v["name"].as_str().unwrap().to_owned();
    let ours: Vec<String> = packages.iter().map(name).collect();
    packages
        .iter()
        .map(|package| {
            let uses =
                package["dependencies"].as_array().unwrap().iter().map(name).filter(|d| ours.contains(d)).collect();
            (name(package), uses)
        })
        .collect()
}

#[test]
fn arrows_point_right_only() {
    let graph = graph();
    for (package, uses) in &graph {
        let Some((_, allowed)) = ARROWS.iter().find(|(name, _)| name == package) else {
            panic!("{package} has no row in ARROWS: say in ARCHITECTURE.md what it may use, and here");
        };
        for used in uses {
            assert!(allowed.contains(&used.as_str()), "{package} uses {used}, but may use only {allowed:?}");
        }
    }
    assert_eq!(graph.len(), ARROWS.len(), "a room in ARROWS is gone");
}

#[test]
fn pure_rooms_do_no_io() {
    let mut read = 0;
    for room in PURE {
        let mut folders = vec![root().join("crates").join(room).join("src")];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(&folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                    continue;
                }
                let text = std::fs::read_to_string(&path).unwrap();
                read += 1;
                for word in FORBIDDEN {
                    // A doc comment may speak of what the code must not do.
                    let line = text.lines().position(|l| l.contains(word) && !l.trim_start().starts_with("//"));
                    assert!(line.is_none(), "{}:{}: {word}", path.display(), line.unwrap_or(0) + 1);
                }
            }
        }
    }
    assert!(read > 40, "only {read} files were read");
}
