//! Bad input: one clear error.

use quantities::QuantityError;

/// Where in the input: file, line and field.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Place {
    /// File name as the person gave it.
    pub file: String,
    /// 1-based; `None` when it concerns the whole file.
    pub line: Option<usize>,
    /// Dotted path of the field, such as `film[2].thickness_nm`; may be empty.
    pub field: String,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.file)?;
        if let Some(line) = self.line {
            write!(f, ", line {line}")?;
        }
        if !self.field.is_empty() {
            write!(f, ", {}", self.field)?;
        }
        Ok(())
    }
}

/// Bad input, and where.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{place}: {problem}")]
pub struct InputError {
    /// Where.
    pub place: Box<Place>,
    /// What.
    pub problem: Box<Problem>,
}

/// What is wrong with an input.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Problem {
    /// The file cannot be read.
    #[error("cannot be read: {reason}; check the path (relative paths start at the folder of the file that names it)")]
    Unreadable {
        /// The system's reason.
        reason: String,
    },
    /// Not text.
    #[error("is not a text file (byte {offset} is not UTF-8); give the {wanted} file itself, saved as UTF-8")]
    Binary {
        /// First offending byte.
        offset: usize,
        /// What was expected, such as `TOML`.
        wanted: &'static str,
    },
    /// Larger than any honest input.
    #[error("holds {given} bytes; at most {max} are read")]
    TooLarge {
        /// Size given.
        given: usize,
        /// Size allowed.
        max: usize,
    },
    /// The TOML itself does not parse.
    #[error("is not valid TOML: {message}")]
    Syntax {
        /// The parser's words.
        message: String,
    },
    /// A field that must be there is not.
    #[error("is missing; add for instance `{example}`{}", instead.as_ref().map(|k| format!(" (there is '{k}', which is not known here)")).unwrap_or_default())]
    Missing {
        /// A valid line.
        example: String,
        /// A key that is there and looks like the one that is missing.
        instead: Option<String>,
    },
    /// A key that does not exist here.
    #[error("'{given}' is not known here{}; known: {known}", nearest.as_ref().map(|n| format!(", did you mean '{n}'?")).unwrap_or_default())]
    UnknownKey {
        /// The key given.
        given: String,
        /// The nearest known key.
        nearest: Option<String>,
        /// All known keys.
        known: String,
    },
    /// A name that does not exist.
    #[error("{what} '{given}' is not known{}; {hint}", nearest.as_ref().map(|n| format!(", did you mean '{n}'?")).unwrap_or_default())]
    UnknownName {
        /// What kind of thing: `material`, `source`, ...
        what: &'static str,
        /// The name given.
        given: String,
        /// The nearest known name.
        nearest: Option<String>,
        /// What to do.
        hint: String,
    },
    /// The value is of the wrong kind.
    #[error("is {given}, but must be {wanted}")]
    WrongKind {
        /// What was given.
        given: String,
        /// What is allowed.
        wanted: String,
    },
    /// A quantity that cannot be read or is out of range.
    #[error(transparent)]
    Quantity(Box<QuantityError>),
    /// More of something than can be handled.
    #[error("lists {given} {what}; at most {max} are allowed")]
    TooMany {
        /// What is counted.
        what: &'static str,
        /// How many were given.
        given: usize,
        /// How many are allowed.
        max: usize,
    },
    /// A table of numbers that does not hold what it must.
    #[error("{message}")]
    Table {
        /// What is wrong, with row and values, and what is allowed.
        message: String,
    },
    /// Two things that exclude or need each other.
    #[error("{message}")]
    Conflict {
        /// What conflicts and what to do.
        message: String,
    },
}

impl Problem {
    /// This problem at `place`.
    pub fn at(self, place: Place) -> InputError {
        InputError { place: Box::new(place), problem: Box::new(self) }
    }

    /// This problem in `file` as a whole.
    pub fn in_file(self, file: &str) -> InputError {
        self.at(Place { file: file.to_owned(), ..Place::default() })
    }
}

/// No name is longer: what is longer is no misspelling of one.
const LONGEST_NAME: usize = 80;

/// The known name most like `given`, if any is like enough to be a slip of the hand.
pub fn nearest<'n>(given: &str, known: impl Iterator<Item = &'n str>) -> Option<String> {
    if given.len() > LONGEST_NAME {
        return None;
    }
    known
        .map(|name| {
            let (given, known) = (given.to_lowercase(), name.to_lowercase());
            // A name of which the first word was given is meant before one that only looks like it.
            let begun = !given.is_empty() && known.starts_with(&format!("{given}-"));
            (if begun { 1.0 } else { strsim::jaro_winkler(&given, &known) }, name)
        })
        .filter(|(likeness, _)| *likeness > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name.to_owned())
}
