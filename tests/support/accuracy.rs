//! The accuracy recorder: what was expected, by whom, what we give, and how far that is off.
//!
//! [`record`] writes the rows of one sheet to `<target>/accuracy/<sheet>.jsonl`, sorted by key, one JSON object a line,
//! and only then asserts that each row is what it says: a row without `why` must hit, a row with `why` must miss. A miss
//! that turns into a hit fails too, so that no excuse outlives its cause.
//!
//! Numbers are cut so that the text is the same on every machine: misses to two significant digits, and rounding noise
//! below 1e-9 to a bound.

use serde::Serialize;
use std::path::{Path, PathBuf};
use std::{env, fs};

/// Misses below this are rounding noise and differ from machine to machine.
const NOISE: f64 = 1e-9;

/// One line of the accuracy table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Sorts the table and is unique; `chapter/row`, where sheets of one chapter begin with its name.
    pub key: String,
    /// What was worked out, in words.
    pub what: String,
    /// Who says what it should be.
    pub source: String,
    /// `published`, `derived`, `second method`, `other library`, `law`, `common practice, no source`, `calibration`.
    pub status: String,
    /// As the source gives it.
    pub expected: String,
    /// Ours, rounded alike.
    pub ours: String,
    /// How far off, in `unit`.
    pub miss: f64,
    /// How far off it may be.
    pub tolerance: f64,
    /// Unit of both.
    pub unit: String,
    /// Why it misses; `None`: it must hit.
    pub why: Option<String>,
}

/// A row as it is written; the order of the fields is the order in the file.
#[derive(Serialize)]
struct Line<'r> {
    key: &'r str,
    what: &'r str,
    source: &'r str,
    status: &'r str,
    expected: &'r str,
    ours: &'r str,
    miss: String,
    tolerance: String,
    /// Miss over tolerance; absent where the tolerance is zero.
    share: Option<f64>,
    unit: &'r str,
    hit: bool,
    why: Option<&'r str>,
}

impl Row {
    /// Whether the miss is within the tolerance.
    pub fn hit(&self) -> bool {
        self.miss <= self.tolerance
    }

    fn json(&self) -> String {
        // A quotient of noise is noise.
        let share = (self.tolerance > 0.0)
            .then(|| if self.miss < NOISE { 0.0 } else { self.miss / self.tolerance })
            .map(|v| two_digits(v).parse::<f64>().unwrap_or(v));
        let line = Line {
            key: &self.key,
            what: &self.what,
            source: &self.source,
            status: &self.status,
            expected: &self.expected,
            ours: &self.ours,
            miss: self.miss_text(),
            tolerance: plain(self.tolerance),
            share,
            unit: &self.unit,
            hit: self.hit(),
            why: self.why.as_deref(),
        };
        serde_json::to_string(&line).expect("text and finite numbers can be written")
    }

    fn miss_text(&self) -> String {
        if self.miss < NOISE && self.tolerance > 0.0 {
            return format!("< {}", plain(NOISE.min(self.tolerance)));
        }
        two_digits(self.miss)
    }
}

/// Writes the rows of one sheet, then asserts that each hits or misses as it says.
///
/// # Panics
/// When a row does not do what it says, a key is used twice or belongs to another sheet, a value is not a number, or the
/// file cannot be written.
pub fn record(sheet: &str, mut rows: Vec<Row>) {
    assert!(!rows.is_empty(), "{sheet}: nothing was checked");
    rows.sort_by(|a, b| a.key.cmp(&b.key));
    for row in &rows {
        let chapter = row.key.split_once('/').map_or("", |(chapter, _)| chapter);
        let fits = sheet == chapter || sheet.strip_prefix(chapter).is_some_and(|rest| rest.starts_with('-'));
        assert!(fits && !chapter.is_empty(), "key '{}' belongs to another sheet than '{sheet}'", row.key);
    }
    for pair in rows.windows(2) {
        assert_ne!(pair[0].key, pair[1].key, "{sheet}: a key is used twice");
    }
    let folder = folder();
    fs::create_dir_all(&folder).expect("the accuracy folder can be made");
    let text: String = rows.iter().map(|row| row.json() + "\n").collect();
    // Written aside and renamed: a reader never sees half a sheet.
    let whole = folder.join(format!("{sheet}.jsonl"));
    let part = folder.join(format!(".{sheet}.{}.part", std::process::id()));
    fs::write(&part, text).expect("the accuracy sheet can be written");
    fs::rename(&part, &whole).expect("the accuracy sheet can be put in place");

    let off: Vec<String> = rows.iter().filter_map(complaint).collect();
    assert!(off.is_empty(), "{sheet}: {} of {} rows are not what they say\n{}", off.len(), rows.len(), off.join("\n"));
}

fn complaint(row: &Row) -> Option<String> {
    let numbers =
        format!("expected {}, ours {}, off by {} of {} {}", row.expected, row.ours, row.miss, row.tolerance, row.unit);
    if !row.miss.is_finite() {
        return Some(format!("  {}: not a number: {numbers}", row.key));
    }
    match (row.hit(), &row.why) {
        (false, None) => Some(format!("  {}: misses: {numbers}", row.key)),
        (true, Some(why)) => Some(format!("  {}: hits, though it should miss because {why}: {numbers}", row.key)),
        _ => None,
    }
}

/// `<target>/accuracy`, where the target folder is the one that cargo was told to use.
fn folder() -> PathBuf {
    let workspace = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the tests lie in the workspace");
    let target = env::var_os("CARGO_TARGET_DIR").map_or_else(|| PathBuf::from("target"), PathBuf::from);
    workspace.join(target).join("accuracy")
}

/// Two significant digits; powers of ten only where plain digits would be long.
pub fn two_digits(value: f64) -> String {
    let text = format!("{value:.1e}");
    let exponent: i32 = text.rsplit_once('e').and_then(|(_, e)| e.parse().ok()).unwrap_or(0);
    if value == 0.0 {
        "0".to_owned()
    } else if (-4..=3).contains(&exponent) {
        let decimals = usize::try_from(1 - exponent).unwrap_or(0);
        let rounded: f64 = text.parse().unwrap_or(value);
        format!("{rounded:.decimals$}")
    } else {
        text
    }
}

/// A tolerance as it was chosen: few digits, without the noise of arithmetic.
fn plain(value: f64) -> String {
    let value: f64 = format!("{value:.5e}").parse().unwrap_or(value);
    if value == 0.0 || (1e-4..1e4).contains(&value) { format!("{value}") } else { format!("{value:e}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(miss: f64, why: Option<&str>) -> Row {
        Row {
            key: "chapter/1".to_owned(),
            what: "a thing".to_owned(),
            source: "no one".to_owned(),
            status: "derived".to_owned(),
            expected: "1".to_owned(),
            ours: "1".to_owned(),
            miss,
            tolerance: 1e-10,
            unit: String::new(),
            why: why.map(ToOwned::to_owned),
        }
    }

    #[test]
    fn numbers_are_cut_to_two_digits() {
        for (value, text) in
            [(0.0, "0"), (4.96e-5, "5.0e-5"), (0.0449, "0.045"), (1.0, "1.0"), (12.34, "12"), (123.4, "120")]
        {
            assert_eq!(two_digits(value), text);
        }
    }

    #[test]
    fn noise_is_told_as_a_bound() {
        assert!(row(3.1e-15, None).json().contains("\"miss\":\"< 1e-10\""));
        assert!(row(3.1e-15, None).json().contains("\"share\":0.0"));
    }

    #[test]
    fn a_row_must_do_what_it_says() {
        assert!(complaint(&row(1e-12, None)).is_none());
        assert!(complaint(&row(1.0, Some("a reason"))).is_none());
        assert!(complaint(&row(1.0, None)).is_some());
        assert!(complaint(&row(1e-12, Some("a reason"))).is_some());
        assert!(complaint(&row(f64::NAN, None)).is_some());
    }
}
