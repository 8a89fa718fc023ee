//! The table of colour names.

use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields};

/// One row: a word, where it holds, what it aims at.
#[derive(Debug, Clone, PartialEq)]
pub struct NameRow {
    /// The word.
    pub name: String,
    /// L*, from and to.
    pub lightness: [f64; 2],
    /// C*ab, from and to.
    pub chroma: [f64; 2],
    /// Hue angle, degrees, from and to; may pass through 0.
    pub hue: [f64; 2],
    /// L*, a*, b* that a person means who asks for the word.
    pub target: [f64; 3],
    /// Why the borders lie there.
    pub reason: String,
}

pub(crate) fn read_names(file: &str, text: &str) -> Result<Vec<NameRow>, InputError> {
    let document = Document::parse(file, text)?;
    let root = document.fields();
    let mut rows = Vec::new();
    for f in root.tables("name", "names", 500)? {
        rows.push(NameRow {
            name: f.need_text("name", "name = \"straw\"")?.to_owned(),
            lightness: fixed(&f, "lightness")?,
            chroma: fixed(&f, "chroma")?,
            hue: fixed(&f, "hue")?,
            target: fixed(&f, "target")?,
            reason: f.need_text("reason", "reason = \"...\"")?.to_owned(),
        });
        f.finish()?;
    }
    root.finish()?;
    Ok(rows)
}

fn fixed<const N: usize>(f: &Fields<'_>, key: &str) -> Result<[f64; N], InputError> {
    let list = f.numbers(key)?.ok_or_else(|| f.missing(key, &format!("{key} = [0, 100]")))?;
    <[f64; N]>::try_from(list).map_err(|list| {
        f.fault(key, Problem::WrongKind { given: format!("{list:?}"), wanted: format!("a list of {N} numbers") })
    })
}
