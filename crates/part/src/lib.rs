//! Parts: what shape they have, and how much surface.
//!
//! - [`Shape`]: sheet, disc, ring, tube, wire, dome, block, sphere, blade, bowl; its [`Area`] and volume in closed form;
//! - [`Mesh`]: triangles with normals and surface coordinates, made of a shape ([`Shape::mesh`], as fine as
//!   [`Fineness`] says), or of many in a [`Rack`];
//! - [`read`]: a mesh from the bytes of an STL or OBJ file, with its [`MeshFault`]s;
//! - [`Rays`]: what a ray meets of a mesh, and whether one place sees another;
//! - [`Camera`]: a view from a direction, and the ray through each place of its picture;
//! - [`sheet_of_mass`], [`wire_of_mass`]: the area of a part that was weighed because nobody measures its outline.
//!
//! Lengths are in mm, areas in mm2. An area is that of the smooth outline: roughness adds to it.
//! What it is not: it knows nothing of optics, colour, metals or files; a density is handed in. Maps of thickness
//! are not there yet.

#![cfg_attr(
    test,
    allow(
        clippy::disallowed_methods,
        reason = "a test reckons with the functions of the platform, a second opinion on libm"
    )
)]

mod camera;
mod coarsen;
mod edges;
mod error;
mod faults;
mod fineness;
mod hierarchy;
mod import;
mod meet;
mod mesh;
mod obj;
mod polygon;
mod rack;
mod rays;
mod reading;
mod round;
mod shape;
mod smooth;
mod stl;
mod straight;
mod vector;
mod weighed;
mod weld;
mod winding;

pub use camera::{Camera, Lens, MOST_PIXELS, View, direction_deg};
pub use coarsen::Coarser;
pub use error::MeshError;
pub use faults::{LARGEST_MM, MeshFault, SMALLEST_MM};
pub use fineness::Fineness;
pub use import::{Import, read};
pub use meet::Ray;
pub use mesh::{Chart, FARTHEST_MM, MOST_TRIANGLES, Mesh, MeshParts, Patch, Side};
pub use rack::{Rack, Racked};
pub use rays::{Hit, Rays, Stops};
pub use reading::{Format, Limits, Place, ReadError, Reading, Unit};
pub use shape::{Area, Faces, Shape, ShapeError};
pub use weighed::{sheet_of_mass, wire_of_mass};
