//! Parts: what shape they have, and how much surface.
//!
//! - [`Shape`]: sheet, disc, ring, tube, wire, dome, block, sphere, blade, bowl; its [`Area`] and volume in closed form;
//! - [`sheet_of_mass`], [`wire_of_mass`]: the area of a part that was weighed because nobody measures its outline.
//!
//! Lengths are in mm, areas in mm2. An area is that of the smooth outline: roughness adds to it.
//! What it is not: it knows nothing of optics, colour, metals or files; a density is handed in. Meshes and maps of
//! thickness are not there yet.

#![cfg_attr(
    test,
    allow(
        clippy::disallowed_methods,
        reason = "a test reckons with the functions of the platform, a second opinion on libm"
    )
)]

mod shape;
mod weighed;

pub use shape::{Area, Faces, Shape, ShapeError};
pub use weighed::{sheet_of_mass, wire_of_mass};
