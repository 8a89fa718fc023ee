//! Temperatures from which a base loses its hardness or is harmed in a coater.

use crate::fault::InputError;
use crate::fields::Document;

/// One such temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Softening {
    /// Its id.
    pub id: String,
    /// Bases that it concerns.
    pub of: Vec<String>,
    /// From where on, C.
    pub above_c: f64,
    /// What happens, in words.
    pub words: String,
    /// Who says so.
    pub source: String,
    /// How well this is known.
    pub status: String,
}

pub(crate) fn read_softening(file: &str, text: &str) -> Result<Vec<Softening>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(id, f)| {
            let row = Softening {
                id: id.to_owned(),
                of: f.texts("of")?.ok_or_else(|| f.missing("of", "of = [\"brass-70-30\"]"))?,
                above_c: f.need_number("above_c")?,
                words: f.need_text("words", "words = \"...\"")?.to_owned(),
                source: f.need_text("source", "source = \"...\"")?.to_owned(),
                status: f.need_text("status", "status = \"common practice\"")?.to_owned(),
            };
            f.finish()?;
            Ok(row)
        })
        .collect()
}
