//! What can be behind a colour that a coater misses: causes in the film, and what in the process makes them.

use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields};

/// A cause as the colour shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// Its id, such as `thin`.
    pub id: String,
    /// What it is.
    pub words: String,
    /// What in the process makes it, the likeliest first.
    pub why: Vec<Why>,
}

/// What in the process makes a cause.
#[derive(Debug, Clone, PartialEq)]
pub struct Why {
    /// What it is.
    pub words: String,
    /// One cheap check.
    pub check: String,
    /// One change.
    pub change: String,
    /// Who says so.
    pub source: String,
}

pub(crate) fn read_causes(file: &str, text: &str) -> Result<Vec<Cause>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(id, f)| {
            let cause = Cause {
                id: id.to_owned(),
                words: f.need_text("words", "words = \"...\"")?.to_owned(),
                why: f.tables("why", "reasons", 20)?.into_iter().map(read_why).collect::<Result<_, _>>()?,
            };
            if cause.why.is_empty() {
                let message = format!("'{id}' has no [[{id}.why]]; write one or more, the likeliest first");
                return Err(f.fault("why", Problem::Conflict { message }));
            }
            f.finish()?;
            Ok(cause)
        })
        .collect()
}

fn read_why(f: Fields<'_>) -> Result<Why, InputError> {
    let why = Why {
        words: f.need_text("words", "words = \"...\"")?.to_owned(),
        check: f.need_text("check", "check = \"...\"")?.to_owned(),
        change: f.need_text("change", "change = \"...\"")?.to_owned(),
        source: f.need_text("source", "source = \"...\"")?.to_owned(),
    };
    f.finish()?;
    Ok(why)
}
