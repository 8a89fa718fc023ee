//! Ready-made workshops and the examples, as text that a person may copy.

use crate::embedded::{Library, below};

/// Path below `examples/`, and text.
static EXAMPLES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/examples.rs"));

/// An invented workshop to begin from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bench {
    /// Short name: its file's name without the ending.
    pub id: &'static str,
    /// For whom it is: the comment in the first line of the file.
    pub words: &'static str,
    /// The workshop file.
    pub text: &'static str,
}

impl Library {
    /// Ready-made workshops of `data/benches/`, by name.
    pub fn benches() -> impl Iterator<Item = Bench> {
        below("benches/").map(|(path, text)| Bench {
            id: path.trim_start_matches("benches/").trim_end_matches(".toml"),
            words: text.lines().next().unwrap_or_default().trim_start_matches(['#', ' ']),
            text,
        })
    }

    /// The files of `examples/`: path below it, such as `bells/workshop.toml`, and text.
    pub fn examples() -> &'static [(&'static str, &'static str)] {
        EXAMPLES
    }
}
