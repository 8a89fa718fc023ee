//! Why a question was not answered.

use huewright::Fault;
use library::InputError;
use serde::Serialize;

/// Bad input: what was given, what is allowed, what to do; and which field to show it beside.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Refusal {
    /// For a person.
    pub error: String,
    /// Dotted path of the field, such as `film[1].thickness_nm`; empty when it concerns the whole request.
    pub field: String,
    /// Line of the file that was handed over as text; `None` where the request held no text.
    pub line: Option<usize>,
}

impl Refusal {
    pub(crate) fn words(error: impl Into<String>) -> Self {
        Self { error: one_line(&error.into()), field: String::new(), line: None }
    }

    /// As JSON text.
    pub fn json(&self) -> String {
        serde_json::json!({ "error": self.error, "field": self.field, "line": self.line }).to_string()
    }

    /// A fault of something that was handed over as JSON: its lines are those of a text that nobody saw.
    pub(crate) fn in_json(error: &InputError) -> Self {
        let (place, problem) = (&error.place, &error.problem);
        let what = if place.field.is_empty() { &place.file } else { &place.field };
        Self { error: one_line(&format!("{what}: {problem}")), field: place.field.clone(), line: None }
    }

    /// A fault of a file that was handed over as text.
    pub(crate) fn in_text(error: &InputError) -> Self {
        Self { error: one_line(&error.to_string()), field: error.place.field.clone(), line: error.place.line }
    }
}

/// One line without control characters, cut where a value was echoed that nobody can read.
pub fn one_line(text: &str) -> String {
    const MOST: usize = 900;
    let mut letters = text.char_indices().map(|(at, _)| at);
    let Some(cut) = letters.nth(MOST / 3) else { return plain(text) };
    let Some(_) = letters.nth(MOST - MOST / 3) else { return plain(text) };
    let tail = text.char_indices().rev().nth(MOST / 3).map_or(0, |(at, _)| at);
    format!("{} ... {}", plain(&text[..cut]), plain(&text[tail..]))
}

fn plain(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.error)
    }
}

impl std::error::Error for Refusal {}

impl From<Fault> for Refusal {
    fn from(fault: Fault) -> Self {
        match &fault {
            Fault::Input(error) => Self::in_json(error),
            _ => Self::words(fault.to_string()),
        }
    }
}

impl From<serde_json::Error> for Refusal {
    fn from(error: serde_json::Error) -> Self {
        Self::words(format!("the request is not what this question takes: {error}"))
    }
}
