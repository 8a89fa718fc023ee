//! The CSV files of this folder.

use std::collections::BTreeMap;
use std::path::Path;

/// One line of a CSV, by the names of its columns.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    file: String,
    cells: BTreeMap<String, String>,
}

/// The lines of `path` (below `tests/`).
///
/// # Panics
/// When the file is missing, empty, or not a table.
pub fn read(path: &str) -> Vec<Record> {
    let whole = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let mut reader = csv::Reader::from_path(&whole).unwrap_or_else(|e| panic!("{path}: {e}"));
    let names = reader.headers().expect("a CSV has a head line").clone();
    let records: Vec<Record> = reader
        .records()
        .map(|line| {
            let line = line.unwrap_or_else(|e| panic!("{path}: {e}"));
            let cells = names.iter().map(ToOwned::to_owned).zip(line.iter().map(ToOwned::to_owned)).collect();
            Record { file: path.to_owned(), cells }
        })
        .collect();
    assert!(!records.is_empty(), "{path} has no lines");
    records
}

impl Record {
    /// The cell as text, maybe empty.
    ///
    /// # Panics
    /// When there is no such column.
    pub fn text(&self, column: &str) -> &str {
        self.cells.get(column).unwrap_or_else(|| panic!("{} has no column '{column}'", self.file))
    }

    /// The cell as a number.
    ///
    /// # Panics
    /// When there is no such column, or no number in it.
    pub fn number(&self, column: &str) -> f64 {
        self.maybe(column).unwrap_or_else(|| panic!("{}: '{column}' is empty", self.file))
    }

    /// The cell as a number; `None` when it is empty.
    ///
    /// # Panics
    /// When there is no such column, or something else than a number in it.
    pub fn maybe(&self, column: &str) -> Option<f64> {
        let text = self.text(column).trim();
        (!text.is_empty())
            .then(|| text.parse().unwrap_or_else(|_| panic!("{}: '{text}' in '{column}' is no number", self.file)))
    }

    /// Several cells as numbers.
    pub fn numbers<const N: usize>(&self, columns: [&str; N]) -> [f64; N] {
        columns.map(|c| self.number(c))
    }

    /// A cell of words parted by `;`.
    pub fn words(&self, column: &str) -> Vec<String> {
        self.text(column).split(';').map(|w| w.trim().to_owned()).filter(|w| !w.is_empty()).collect()
    }
}

/// Columns of numbers: the first, and the one named.
pub fn columns(path: &str, first: &str, second: &str) -> (Vec<f64>, Vec<f64>) {
    read(path).iter().map(|r| (r.number(first), r.number(second))).unzip()
}
