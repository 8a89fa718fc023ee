//! Which of our sources holds the table that a cross-check names.

use huewright_tests::tables::read;

/// Material and source of a table such as `Ti-Johnson1974.csv`; `None` when this project does not carry it.
pub fn held(table: &str) -> Option<(String, String)> {
    read("cross/tables.csv")
        .iter()
        .find(|r| r.text("table") == table)
        .map(|r| (r.text("material").to_owned(), r.text("source").to_owned()))
}

#[test]
fn every_table_that_is_listed_is_in_the_library() {
    let engine = huewright::Engine::new().unwrap();
    for r in read("cross/tables.csv") {
        let (material, source) = held(r.text("table")).unwrap();
        assert!(engine.library().head(&material, &source).is_ok(), "{material} {source}");
    }
}
