//! Why a question was not answered.

use colour::ViewingError;
use library::InputError;
use optics::OpticsError;

/// Bad input. Each message says what was given, what is allowed, and what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Fault {
    /// A file or field.
    #[error(transparent)]
    Input(#[from] InputError),
    /// A question that the optics refuses.
    #[error(transparent)]
    Optics(#[from] OpticsError),
    /// A light that shows nothing.
    #[error(transparent)]
    Viewing(#[from] ViewingError),
    /// A colour that cannot be read.
    #[error(transparent)]
    Target(#[from] crate::TargetError),
    /// A part whose area cannot be told.
    #[error(transparent)]
    Part(#[from] crate::part::PartError),
    /// A recipe that cannot be planned as it is written.
    #[error(transparent)]
    Plan(#[from] crate::plan::PlanError),
    /// A log that nothing can be said of.
    #[error(transparent)]
    Correct(#[from] crate::correct::CorrectError),
    /// A name that does not exist.
    #[error("{what} '{given}' is not known; known: {known}")]
    Unknown {
        /// What kind of thing.
        what: &'static str,
        /// What was given.
        given: String,
        /// What there is.
        known: String,
    },
    /// `match` with part of the light left out.
    #[error(
        "match compares colours with the specular component included (ISO 8654); leave --geometry out, or ask look"
    )]
    Geometry,
    /// An axis, film or metal that a ribbon cannot be drawn for.
    #[error("{0}")]
    Ribbon(#[from] crate::ribbon::RibbonError),
}
