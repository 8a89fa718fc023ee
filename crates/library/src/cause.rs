//! What can be behind a colour that a coater misses: causes in the film, and what in the process makes them.

use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields};
use crate::loads_file::LOAD_SETTINGS;

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
    /// Settings of a load whose rise (`true`) or fall against the first load speaks for it.
    pub moved: Vec<(String, bool)>,
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
        moved: f.texts("moved")?.unwrap_or_default().iter().map(|m| read_moved(&f, m)).collect::<Result<_, _>>()?,
    };
    f.finish()?;
    Ok(why)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::Library;

    /// What a colour can tell: the search for causes names these.
    const IDS: [&str; 14] = [
        "thin",
        "thick",
        "nitrogen-rich",
        "nitrogen-poor",
        "oxygen-rich",
        "oxygen-poor",
        "aluminium-rich",
        "aluminium-poor",
        "uneven-height",
        "uneven-turn",
        "base-off",
        "oxidised",
        "rough",
        "reading",
    ];

    #[test]
    fn every_cause_has_a_check_and_a_change() {
        let library = Library::embedded().unwrap();
        let ids: Vec<&str> = library.causes().iter().map(|c| c.id.as_str()).collect();
        for id in IDS.iter().chain(&["unknown"]) {
            assert!(ids.contains(id), "{id}");
        }
        assert_eq!(ids.len(), IDS.len() + 1, "{ids:?}");
        for why in library.causes().iter().flat_map(|c| &c.why) {
            // Checks and changes are sentences of their own; what makes the cause stands within one.
            assert!(
                why.check.ends_with('.') && why.change.ends_with('.') && !why.words.ends_with('.'),
                "{}",
                why.words
            );
            assert!(!why.source.is_empty());
        }
    }

    #[test]
    fn a_cause_without_a_reason_is_refused() {
        let why = "schema = 1\n[thin]\nwords = \"thin\"\n[[thin.why]]\nwords = \"w\"\ncheck = \"c\"\n";
        for (rows, part) in [
            ("schema = 1\n[thin]\nwords = \"thin\"".to_owned(), "thin.why: 'thin' has no [[thin.why]]"),
            (why.to_owned(), "why[1].change: is missing"),
            (format!("{why}change = \"c\""), "why[1].source: is missing"),
            (format!("{why}change = \"c\"\nsource = \"s\"\nremedy = \"r\""), "'remedy' is not known here"),
        ] {
            let message = read_causes("causes.toml", &rows).unwrap_err().to_string();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}

/// A setting of a load and where it went, such as `cathode_v down`.
fn read_moved(f: &Fields<'_>, text: &str) -> Result<(String, bool), InputError> {
    let known = |key: &str| LOAD_SETTINGS.contains(&key);
    match text.split_once(' ') {
        Some((key, "up")) if known(key) => Ok((key.to_owned(), true)),
        Some((key, "down")) if known(key) => Ok((key.to_owned(), false)),
        _ => {
            let wanted = format!(
                "a setting of a load and 'up' or 'down', such as \"ampere_hours up\"; settings: {}",
                LOAD_SETTINGS.join(", ")
            );
            Err(f.fault("moved", Problem::WrongKind { given: format!("\"{text}\""), wanted }))
        }
    }
}
