//! What can be wrong with a mesh that is asked for, with a ray and with a view.

use crate::mesh::{FARTHEST_MM, MOST_TRIANGLES};
use crate::shape::ShapeError;

/// A mesh, a ray or a view that cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MeshError {
    /// The shape itself cannot be.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// A fineness that is no length above 0.
    #[error("{what} of {given_mm} mm; it must be a number greater than 0, such as 0.01 mm")]
    Fineness {
        /// Which of them.
        what: &'static str,
        /// What was given.
        given_mm: f64,
    },
    /// So fine that the triangles would be too many.
    #[error(
        "a chord error of {chord_mm} mm with triangles up to {longest_mm} mm long takes more than {MOST_TRIANGLES} \
         triangles on this part; make either coarser, 4 times for a quarter to a sixteenth of the triangles"
    )]
    TooFine {
        /// Chord error asked for.
        chord_mm: f64,
        /// Longest side asked for; infinite: any.
        longest_mm: f64,
    },
    /// More copies than can be kept.
    #[error(
        "{count} copies of {each} triangles; at most {MOST_TRIANGLES} triangles in all are kept: fewer copies, or a \
         coarser mesh of the one"
    )]
    TooMany {
        /// Copies asked for.
        count: u32,
        /// Triangles of one.
        each: usize,
    },
    /// No triangle, or no copy.
    #[error("{what} is empty; there must be at least one")]
    Empty {
        /// What has nothing in it.
        what: &'static str,
    },
    /// Lists that do not belong together.
    #[error("{given} {what} for {wanted}; there must be one each")]
    Unequal {
        /// Which list.
        what: &'static str,
        /// How long it is.
        given: usize,
        /// How long it must be.
        wanted: usize,
    },
    /// A triangle that names a corner which is not there.
    #[error("triangle {triangle} (from 0) names corner {corner}, but the corners are 0 to {last}")]
    Corner {
        /// The triangle, from 0.
        triangle: usize,
        /// The corner it names.
        corner: u32,
        /// The last one that there is.
        last: usize,
    },
    /// Patches that do not follow one another.
    #[error("patch '{name}' begins at triangle {first}; the one before it ends at {wanted}, and all end at {all}")]
    Patches {
        /// Which one.
        name: &'static str,
        /// Where it begins.
        first: u32,
        /// Where it must begin.
        wanted: u32,
        /// How many triangles there are.
        all: usize,
    },
    /// A coordinate that is no number, or out of all proportion.
    #[error("{what} is {given} mm; it must lie within {FARTHEST_MM} mm of 0")]
    Far {
        /// Which quantity.
        what: &'static str,
        /// What was given.
        given: f64,
    },
    /// A direction that points nowhere, or along another that it must not be along.
    #[error("{what} ({}, {}, {}) gives no direction; {wanted}", given[0], given[1], given[2])]
    Direction {
        /// Which direction.
        what: &'static str,
        /// What was given.
        given: [f64; 3],
        /// What it must be.
        wanted: &'static str,
    },
    /// A number of a view that is out of its range.
    #[error("{what} is {given}; it must be {wanted}")]
    View {
        /// Which quantity, with its unit.
        what: &'static str,
        /// What was given.
        given: f64,
        /// What is allowed.
        wanted: &'static str,
    },
}
