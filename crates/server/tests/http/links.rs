//! Links inside the folder lead nowhere; files that nobody kept through the server harm nothing.

#![cfg(unix)]

use crate::setting::{Bench, bench, folder, request};
use std::os::unix::fs::symlink;
use std::path::PathBuf;

fn outside(name: &str) -> PathBuf {
    let path = folder(&format!("{name}-outside"));
    std::fs::write(path.join("r.toml"), "secret = 1").unwrap();
    path
}

async fn all_refused(bench: &Bench) {
    for method in ["GET", "PUT", "DELETE"] {
        let answer = bench.send(request(method, "/api/records/recipe/r", &[], "a = 2")).await;
        answer.refused(403, &["no links"]);
        assert!(!answer.text().contains("secret"));
    }
}

#[tokio::test]
async fn a_link_to_a_file_is_not_followed() {
    let (bench, out) = (bench("link"), outside("link"));
    std::fs::create_dir(bench.folder.join("recipe")).unwrap();
    for target in [out.join("r.toml"), out.join("none.toml"), out.clone()] {
        let link = bench.folder.join("recipe/r.toml");
        symlink(&target, &link).unwrap();
        all_refused(&bench).await;
        assert_eq!(bench.get("/api/records").await.json()["records"].as_array().unwrap().len(), 0);
        std::fs::remove_file(link).unwrap();
    }
    assert_eq!(std::fs::read_to_string(out.join("r.toml")).unwrap(), "secret = 1");
    assert!(!out.join("none.toml").exists());
}

#[tokio::test]
async fn a_link_to_a_folder_is_not_followed() {
    let (bench, out) = (bench("folder"), outside("folder"));
    symlink(&out, bench.folder.join("recipe")).unwrap();
    all_refused(&bench).await;
    // The list tells the other kinds, and nothing of what the link leads to.
    assert_eq!(bench.put("finish/f", &[], "schema = 1\n[base]\nmaterial = \"titanium\"\n").await.status.as_u16(), 201);
    let answer = bench.get("/api/records").await;
    let list = answer.text();
    assert!(list.contains("\"f\"") && !list.contains("recipe"), "{list}");
    assert_eq!(std::fs::read_dir(&out).unwrap().count(), 1);
    assert_eq!(std::fs::read_to_string(out.join("r.toml")).unwrap(), "secret = 1");
}

#[tokio::test]
async fn links_in_place_of_the_servers_own_files_are_not_followed() {
    let (bench, out) = (bench("own"), outside("own"));
    assert_eq!(bench.put("recipe/r", &[], "a = 1").await.status.as_u16(), 201);
    symlink(&out, bench.folder.join("removed")).unwrap();
    bench.send(request("DELETE", "/api/records/recipe/r", &[], "")).await.refused(403, &[]);
    assert_eq!(std::fs::read_dir(&out).unwrap().count(), 1);
    std::fs::remove_file(bench.folder.join(".lock")).unwrap();
    symlink(out.join("lock"), bench.folder.join(".lock")).unwrap();
    bench.put("recipe/r", &[], "a = 2").await.refused(403, &[]);
    assert!(!out.join("lock").exists());
    assert_eq!(bench.get("/api/records/recipe/r").await.text(), "a = 1");
}

#[tokio::test]
async fn files_of_other_hands_do_no_harm() {
    let bench = bench("hands");
    let recipe = bench.folder.join("recipe");
    std::fs::create_dir_all(recipe.join("sub.toml")).unwrap();
    std::fs::write(recipe.join("notes.txt"), "x").unwrap();
    std::fs::write(recipe.join(".7-0.new"), "half").unwrap();
    std::fs::write(recipe.join("big.toml"), "x".repeat(1_000_001)).unwrap();
    std::fs::write(recipe.join("odd.toml"), [0xff, 0xfe]).unwrap();
    std::fs::write(recipe.join("by hand.toml"), "a = 1").unwrap();
    std::fs::write(bench.folder.join("finish"), "not a folder").unwrap();
    bench.get("/api/records/recipe/sub").await.refused(403, &[]);
    bench.get("/api/records/recipe/big").await.refused(422, &["1000000"]);
    bench.get("/api/records/recipe/odd").await.refused(422, &["UTF-8"]);
    assert_eq!(bench.get("/api/records/recipe/by%20hand").await.text(), "a = 1");
    std::fs::remove_file(bench.folder.join("finish")).unwrap();
    let list = bench.get("/api/records").await.json();
    let names: Vec<_> = list["records"].as_array().unwrap().iter().map(|r| r["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["by hand", "odd"]);
}
