//! Heads of observers and lights.

use crate::csv_table::Columns;
use crate::fault::InputError;
use crate::fields::Document;

/// A column of numbers against wavelength.
#[derive(Debug, Clone, PartialEq)]
pub struct NamedTable {
    /// Rising, nm.
    pub wavelength_nm: Vec<f64>,
    /// Values, column after column (a light has one, an observer three).
    pub columns: Vec<Vec<f64>>,
}

/// A light.
#[derive(Debug, Clone, PartialEq)]
pub struct LightHead {
    /// The word on the command line, such as `D65`.
    pub light: String,
    /// What it stands for.
    pub words: String,
    /// Who published it.
    pub citation: String,
    /// Relative power.
    pub table: NamedTable,
}

/// An observer.
#[derive(Debug, Clone, PartialEq)]
pub struct ObserverHead {
    /// `2` or `10`.
    pub observer: String,
    /// What it stands for.
    pub words: String,
    /// Who published it.
    pub citation: String,
    /// x, y, z.
    pub table: NamedTable,
}

type Fetch<'f> = &'f dyn Fn(&str) -> Option<&'static str>;

struct Common {
    name: String,
    words: String,
    citation: String,
    table: NamedTable,
}

fn read(file: &str, text: &str, kind: &str, columns: &[&str], fetch: Fetch<'_>) -> Result<Common, InputError> {
    let document = Document::parse(file, text)?;
    let f = document.fields();
    let name = f.need_text(kind, "\"...\"")?.to_owned();
    let words = f.need_text("words", "\"...\"")?.to_owned();
    let citation = f.need_text("citation", "\"...\"")?.to_owned();
    for key in ["obtained", "licence", "interpolation", "doi", "locator"] {
        f.text(key)?;
    }
    let table_name = f.need_text("table", "table = \"d65.csv\"")?;
    f.texts("caveats")?;
    let csv = fetch(table_name).ok_or_else(|| f.missing("table", "a CSV file beside the head"))?;
    let table = Columns::read(table_name, csv.as_bytes())?;
    let wavelength_nm = table.wavelengths(2)?;
    let columns = columns.iter().map(|c| table.need(c)).collect::<Result<_, _>>()?;
    f.finish()?;
    Ok(Common { name, words, citation, table: NamedTable { wavelength_nm, columns } })
}

pub(crate) fn read_light_head(file: &str, text: &str, fetch: Fetch<'_>) -> Result<LightHead, InputError> {
    let c = read(file, text, "light", &["power"], fetch)?;
    Ok(LightHead { light: c.name, words: c.words, citation: c.citation, table: c.table })
}

pub(crate) fn read_observer_head(file: &str, text: &str, fetch: Fetch<'_>) -> Result<ObserverHead, InputError> {
    let c = read(file, text, "observer", &["x", "y", "z"], fetch)?;
    Ok(ObserverHead { observer: c.name, words: c.words, citation: c.citation, table: c.table })
}
