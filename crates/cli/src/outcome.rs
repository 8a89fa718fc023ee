//! How a command ends.

use huewright::Fault;
use library::InputError;
use quantities::QuantityError;

/// A command that ran.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Outcome {
    /// Exit status 0.
    Done,
    /// Exit status 1: the question has no answer here; the reason was printed.
    NoAnswer,
}

/// A command that could not run: exit status 2.
#[derive(Debug)]
pub(crate) enum Failure {
    Fault(Fault),
    /// A file that reads well, but asks what cannot be answered.
    InFile {
        file: String,
        fault: Box<Fault>,
    },
    Argument {
        name: &'static str,
        error: QuantityError,
    },
    Words(String),
    Write {
        path: String,
        error: std::io::Error,
    },
}

impl Failure {
    /// Whether the reader of our output went away, which is no fault of the input.
    pub(crate) fn is_broken_pipe(&self) -> bool {
        matches!(self, Self::Write { error, .. } if error.kind() == std::io::ErrorKind::BrokenPipe)
    }
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Fault(fault) => fault.fmt(f),
            Self::InFile { file, fault } => match **fault {
                // An input error names its own place.
                Fault::Input(_) => fault.fmt(f),
                _ => write!(f, "{file}: {fault}"),
            },
            Self::Argument { name, error } => write!(f, "--{name}: {error}"),
            Self::Words(words) => f.write_str(words),
            Self::Write { path, error } => write!(f, "{path} cannot be written: {error}; check folder and rights"),
        }
    }
}

impl From<Fault> for Failure {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

impl From<InputError> for Failure {
    fn from(error: InputError) -> Self {
        Self::Fault(error.into())
    }
}
