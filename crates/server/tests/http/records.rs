//! Records: kept, listed, fetched, replaced, removed; refused without a trace; many at once.

use crate::setting::{Bench, bench, request};
use server::MOST_RECORDS;

const FINISH: &str = "schema = 1\n# mine\n[base]\nmaterial = \"titanium\"\n";
const SHOP: &str = "schema = 1\n\n[[metal]]\nid = \"titanium\"\n";

#[tokio::test]
async fn a_record_goes_round() {
    let bench = bench("round");
    assert_eq!(bench.get("/api/records").await.json()["records"].as_array().unwrap().len(), 0);
    let first =
        bench.put("finish/blue%20dome", &[("content-type", "application/toml"), ("if-none-match", "*")], FINISH).await;
    assert_eq!(first.status.as_u16(), 201, "{}", first.text());
    let fetched = bench.get("/api/records/finish/blue%20dome").await;
    assert_eq!((fetched.text(), fetched.header("content-type")), (FINISH, "application/toml"));
    assert_eq!(fetched.header("etag"), first.header("etag"));
    let again = bench
        .send(request("GET", "/api/records/finish/blue%20dome", &[("if-none-match", first.header("etag"))], ""))
        .await;
    assert_eq!(again.status.as_u16(), 304);
    assert_eq!(bench.files(), ["finish/blue dome.toml"]);
    assert_eq!(bench.put("wanted/deep.csv", &[], "wavelength_nm,reflectance\n400,0.1\n").await.status.as_u16(), 201);
    assert_eq!(bench.get("/api/records/wanted/deep.csv").await.header("content-type"), "text/csv; charset=utf-8");
    let list = bench.get("/api/records").await.json();
    let rows = list["records"].as_array().unwrap();
    assert_eq!((list["schema"].as_u64(), rows.len()), (Some(1), 2));
    assert_eq!((rows[0]["kind"].as_str(), rows[0]["name"].as_str()), (Some("finish"), Some("blue dome")));
    assert_eq!(rows[0]["bytes"].as_u64(), Some(FINISH.len() as u64));
    // ISO 8601: 2026-01-02T03:04:05Z.
    let changed = rows[0]["changed"].as_str().unwrap();
    let shape: String = changed.chars().map(|c| if c.is_ascii_digit() { '0' } else { c }).collect();
    assert_eq!(shape, "0000-00-00T00:00:00Z");
}

#[tokio::test]
async fn refusal_keeps_nothing() {
    let bench = bench("refused");
    let wrong = FINISH.replace("titanium", "unobtainium");
    let refused = bench.put("finish/x", &[], &wrong).await;
    refused.refused(422, &["unobtainium"]);
    assert_eq!((refused.json()["field"].as_str(), refused.json()["line"].as_u64()), (Some("base.material"), Some(4)));
    bench.put("workshop/x", &[], "schema = 1\nmetals = 3\n").await.refused(422, &[]);
    bench.put("part/x", &[], "not toml").await.refused(422, &[]);
    bench.put("recipe/x", &[], "a\0b").await.refused(400, &["zero byte"]);
    bench.put("recipe/x", &[], &"x".repeat(1_000_001)).await.refused(413, &["1000000"]);
    bench.put("poem/x", &[], FINISH).await.refused(404, &["workshop, finish, part, recipe, wanted"]);
    assert!(bench.files().is_empty(), "{:?}", bench.files());
    assert_eq!(bench.put("finish/x", &[], FINISH).await.status.as_u16(), 201);
    bench.put("finish/x", &[], &wrong).await.refused(422, &[]);
    assert_eq!(bench.get("/api/records/finish/x").await.text(), FINISH);
    assert_eq!(bench.put("workshop/mine", &[], SHOP).await.status.as_u16(), 201);
}

#[tokio::test]
async fn two_tabs_do_not_overwrite_one_another() {
    let bench = bench("tabs");
    let seen = bench.put("recipe/r", &[("if-none-match", "*")], "a = 1").await.header("etag").to_owned();
    bench.put("recipe/r", &[("if-none-match", "*")], "a = 2").await.refused(412, &["already"]);
    let second = bench.put("recipe/r", &[("if-match", &seen)], "a = 3").await;
    assert_eq!(second.status.as_u16(), 200);
    bench.put("recipe/r", &[("if-match", &seen)], "a = 4").await.refused(412, &["another tab"]);
    bench.put("recipe/none", &[("if-match", "*")], "a = 4").await.refused(412, &[]);
    bench.put("recipe/r", &[("if-match", "")], "a = 4").await.refused(412, &[]);
    bench.put("recipe/r", &[("if-match", "*"), ("if-none-match", "*")], "a = 4").await.refused(400, &["not both"]);
    bench.put("recipe/r", &[("if-none-match", &seen)], "a = 4").await.refused(400, &[]);
    bench.put("recipe/R", &[], "a = 5").await.refused(409, &["'r'", "capitals"]);
    let gone = request("DELETE", "/api/records/recipe/r", &[("if-match", &seen)], "");
    bench.send(gone).await.refused(412, &[]);
    assert_eq!(bench.get("/api/records/recipe/r").await.text(), "a = 3");
    assert_eq!(
        bench
            .put("recipe/r", &[("if-match", &format!("\"x\", {}", second.header("etag")))], "a = 6")
            .await
            .status
            .as_u16(),
        200
    );
    assert_eq!(bench.put("recipe/r", &[], "a = 7").await.status.as_u16(), 200);
}

#[tokio::test]
async fn what_is_removed_can_be_brought_back() {
    let bench = bench("removed");
    let remove = || request("DELETE", "/api/records/recipe/r", &[], "");
    bench.send(remove()).await.refused(404, &["no record"]);
    for text in ["a = 1", "a = 2", "a = 3"] {
        bench.put("recipe/r", &[], text).await;
        let removed = bench.send(remove()).await;
        assert_eq!(removed.status.as_u16(), 200, "{}", removed.text());
        let file = removed.json()["removed"].as_str().unwrap().to_owned();
        assert!(file.starts_with("removed/recipe/"), "{file}");
        assert_eq!(std::fs::read_to_string(bench.folder.join(file)).unwrap(), text);
        bench.get("/api/records/recipe/r").await.refused(404, &[]);
    }
    assert_eq!(bench.files().len(), 3, "{:?}", bench.files());
    assert_eq!(bench.get("/api/records").await.json()["records"].as_array().unwrap().len(), 0);
}

#[tokio::test]
async fn names_that_are_paths_reach_no_file() {
    let bench = bench("names");
    let outside = bench.folder.parent().unwrap().join("outside.toml");
    std::fs::write(&outside, "secret = 1").unwrap();
    let long = "x".repeat(81);
    for name in [
        "%2e%2e",
        "%2e%2e%2foutside",
        "..%2F..%2Foutside",
        "%2Fetc%2Fpasswd",
        "a%00b",
        "a%0ab",
        "%E2%88%95etc",
        "%EF%BC%8Fetc",
        "..%5Coutside",
        "C:x",
        ".hidden",
        "con",
        "NUL.x",
        "%ff%fe",
        "a%3Fb",
        "%20",
        "x%20",
        &long,
    ] {
        for method in ["GET", "PUT", "DELETE"] {
            let sent = request(method, &format!("/api/records/recipe/{name}"), &[], "a = 1");
            let answer = bench.send(sent).await;
            answer.refused(422, &[]);
            assert_eq!(answer.json()["field"], "name", "{name}");
            assert!(!answer.text().contains("secret"));
        }
    }
    for path in ["recipe/../../outside", "recipe/a/b", "../outside", "recipe/", "%2e%2e/outside", "removed/x"] {
        for method in ["GET", "PUT", "DELETE"] {
            let answer = bench.send(request(method, &format!("/api/records/{path}"), &[], "a = 1")).await;
            assert!([404, 405].contains(&answer.status.as_u16()), "{method} {path}: {}", answer.status);
        }
    }
    assert!(bench.files().is_empty(), "{:?}", bench.files());
    assert_eq!(std::fs::read_to_string(outside).unwrap(), "secret = 1");
}

#[tokio::test(flavor = "multi_thread")]
async fn of_many_at_once_one_is_new_and_each_is_whole() {
    let bench = std::sync::Arc::new(bench("many"));
    let at_once = |headers: &'static [(&'static str, &'static str)], name: &'static str| {
        let bench = bench.clone();
        async move {
            let tasks: Vec<_> = (0_u8..12)
                .map(|i| {
                    let bench = bench.clone();
                    let letter = char::from(b'a' + i);
                    let text = format!("# {}\n", letter.to_string().repeat(100_000));
                    tokio::spawn(async move { bench.put(name, headers, &text).await.status.as_u16() })
                })
                .collect();
            let mut status = Vec::new();
            for task in tasks {
                status.push(task.await.unwrap());
            }
            status.sort_unstable();
            status
        }
    };
    let status = at_once(&[("if-none-match", "*")], "recipe/new").await;
    assert_eq!(status[..2], [201, 412]);
    assert!(status[1..].iter().all(|s| *s == 412), "{status:?}");
    let reading = {
        let bench = bench.clone();
        tokio::spawn(async move {
            for _ in 0..200 {
                whole(&bench).await;
            }
        })
    };
    bench.put("recipe/same", &[], &format!("# {}\n", "z".repeat(100_000))).await;
    let status = at_once(&[], "recipe/same").await;
    assert!(status.iter().all(|s| *s == 200), "{status:?}");
    reading.await.unwrap();
    assert_eq!(bench.files(), ["recipe/new.toml", "recipe/same.toml"]);
}

/// One letter all through, and the end.
async fn whole(bench: &Bench) {
    let got = bench.get("/api/records/recipe/same").await;
    if got.status.as_u16() == 404 {
        return;
    }
    let letters = got.text().strip_prefix("# ").unwrap().strip_suffix('\n').unwrap();
    assert_eq!(letters.len(), 100_000);
    assert!(letters.bytes().all(|b| b == letters.as_bytes()[0]));
}

#[tokio::test]
async fn there_is_an_end_to_how_many() {
    let bench = bench("full");
    let folder = bench.folder.join("recipe");
    std::fs::create_dir(&folder).unwrap();
    for i in 0..MOST_RECORDS {
        std::fs::write(folder.join(format!("r{i}.toml")), "a = 1").unwrap();
    }
    bench.put("recipe/one%20more", &[], "a = 1").await.refused(507, &["5000"]);
    assert_eq!(bench.put("recipe/r7", &[], "a = 2").await.status.as_u16(), 200);
    std::fs::write(folder.join("by hand.toml"), "a = 1").unwrap();
    assert_eq!(bench.get("/api/records").await.json()["records"].as_array().unwrap().len(), MOST_RECORDS);
}

#[tokio::test]
async fn what_is_wrong_with_the_disk_stays_inside() {
    let bench = bench("disk");
    std::fs::remove_dir_all(&bench.folder).unwrap();
    let answer = bench.put("recipe/r", &[], "a = 1").await;
    answer.refused(500, &["folder of records"]);
    assert!(!answer.text().contains("disk/") && !answer.text().contains(&bench.folder.display().to_string()));
    let told = bench.told.lock().unwrap().join("\n");
    assert!(told.contains(&bench.folder.display().to_string()), "{told}");
}
