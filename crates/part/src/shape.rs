//! Shapes, their area and their volume in closed form.

use crate::error::MeshError;
use crate::fineness::Fineness;
use crate::mesh::Mesh;
use crate::{round, straight};
use std::f64::consts::PI;

/// Which faces of a hollow part are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Faces {
    /// Inside and outside.
    Both,
    /// The outside alone: the inside is masked, or nothing reaches it.
    Outer,
}

/// A shape; all lengths in mm and greater than 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// A rectangle of sheet.
    Sheet {
        /// Length.
        length_mm: f64,
        /// Width.
        width_mm: f64,
        /// Of the metal.
        thickness_mm: f64,
    },
    /// A round blank, or a coin.
    Disc {
        /// Across.
        diameter_mm: f64,
        /// Of the metal.
        thickness_mm: f64,
    },
    /// A ring or washer with a rectangular section, `width_mm` along its axis.
    Ring {
        /// Outer diameter.
        outer_mm: f64,
        /// Inner diameter, less than the outer one.
        inner_mm: f64,
        /// Along the axis.
        width_mm: f64,
    },
    /// A tube, open at both ends.
    Tube {
        /// Outer diameter.
        outer_mm: f64,
        /// Inner diameter, less than the outer one.
        inner_mm: f64,
        /// Along the axis.
        length_mm: f64,
        /// Whether the bore counts.
        faces: Faces,
    },
    /// A straight or bent wire or rod of round section, with its two ends.
    Wire {
        /// Across.
        diameter_mm: f64,
        /// Along the wire.
        length_mm: f64,
    },
    /// A thin dome: a spherical cap, open below.
    Dome {
        /// Of the rim.
        diameter_mm: f64,
        /// From the plane of the rim to the top.
        height_mm: f64,
        /// Whether the hollow side counts.
        faces: Faces,
    },
    /// A solid block.
    Block {
        /// Length.
        length_mm: f64,
        /// Width.
        width_mm: f64,
        /// Height.
        height_mm: f64,
    },
    /// A ball.
    Sphere {
        /// Across.
        diameter_mm: f64,
    },
    /// The flat blade of a knife: a bar whose one long side is ground from both faces to an edge, straight from heel to
    /// tip.
    Blade {
        /// From heel to tip.
        length_mm: f64,
        /// From edge to spine.
        height_mm: f64,
        /// Of the spine.
        thickness_mm: f64,
        /// Height of the ground part, from the edge; at most `height_mm`: then nothing is left flat.
        bevel_mm: f64,
    },
    /// A bowl: a spherical cap, open above, with a wall that is equally thick everywhere and a flat rim.
    Bowl {
        /// Of the rim, outside.
        diameter_mm: f64,
        /// From the bottom to the rim, outside.
        height_mm: f64,
        /// Of the metal.
        wall_mm: f64,
        /// Whether the inside counts.
        faces: Faces,
    },
}

/// An area in two kinds: what is looked at, and the narrow sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    /// Faces, mm2.
    pub faces_mm2: f64,
    /// Edges and ends, mm2; 0 where there are none or they are left out.
    pub edges_mm2: f64,
}

impl Area {
    /// All of it, mm2.
    pub fn total_mm2(&self) -> f64 {
        self.faces_mm2 + self.edges_mm2
    }
}

/// A shape that cannot be.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ShapeError {
    /// A length of 0 or less, or no number.
    #[error("{what} is {given}; it must be a finite number greater than 0")]
    NotPositive {
        /// Which quantity, with its unit.
        what: &'static str,
        /// What was given.
        given: f64,
    },
    /// A bevel higher than its blade.
    #[error(
        "bevel {bevel_mm} mm is more than the height of the blade, {height_mm} mm; a blade ground all the way up has \
         a bevel of that height"
    )]
    Bevel {
        /// Of the bevel.
        bevel_mm: f64,
        /// Of the blade.
        height_mm: f64,
    },
    /// A wall that leaves nothing hollow.
    #[error(
        "wall {wall_mm} mm leaves no hollow in a bowl of this size: it must be less than {most_mm} mm; a thinner \
         wall, or a larger bowl"
    )]
    Wall {
        /// Of the metal.
        wall_mm: f64,
        /// What it must be less than.
        most_mm: f64,
    },
    /// A bore as wide as what it is bored into.
    #[error("inner diameter {inner_mm} mm is not less than outer diameter {outer_mm} mm; exchange them")]
    Bore {
        /// Inner.
        inner_mm: f64,
        /// Outer.
        outer_mm: f64,
    },
}

/// `value`, if something can have that size.
pub(crate) fn positive(what: &'static str, value: f64) -> Result<f64, ShapeError> {
    if value.is_finite() && value > 0.0 { Ok(value) } else { Err(ShapeError::NotPositive { what, given: value }) }
}

fn bored(inner_mm: f64, outer_mm: f64) -> Result<(), ShapeError> {
    positive("inner diameter (mm)", inner_mm)?;
    positive("outer diameter (mm)", outer_mm)?;
    if inner_mm < outer_mm { Ok(()) } else { Err(ShapeError::Bore { inner_mm, outer_mm }) }
}

impl Shape {
    /// The area of the smooth outline, mm2.
    ///
    /// Euclid throughout, but for the dome, which is Archimedes' cap: pi (a^2 + h^2) with rim radius a and height h,
    /// for each face; the dome is taken as so thin that its rim does not count and both faces are alike.
    ///
    /// # Errors
    /// [`ShapeError`] when a length is not greater than 0, or a bore is wider than its tube.
    pub fn area(&self) -> Result<Area, ShapeError> {
        let area = |faces_mm2: f64, edges_mm2: f64| Ok(Area { faces_mm2, edges_mm2 });
        match *self {
            Self::Sheet { length_mm, width_mm, thickness_mm } => {
                let (l, w) = (positive("length (mm)", length_mm)?, positive("width (mm)", width_mm)?);
                area(2.0 * l * w, 2.0 * (l + w) * positive("thickness (mm)", thickness_mm)?)
            }
            Self::Disc { diameter_mm, thickness_mm } => {
                let d = positive("diameter (mm)", diameter_mm)?;
                area(PI * d * d / 2.0, PI * d * positive("thickness (mm)", thickness_mm)?)
            }
            Self::Ring { outer_mm, inner_mm, width_mm } => {
                bored(inner_mm, outer_mm)?;
                let w = positive("width (mm)", width_mm)?;
                area(PI * (outer_mm + inner_mm) * w, ends(outer_mm, inner_mm))
            }
            Self::Tube { outer_mm, inner_mm, length_mm, faces } => {
                bored(inner_mm, outer_mm)?;
                let l = positive("length (mm)", length_mm)?;
                let around = if faces == Faces::Both { outer_mm + inner_mm } else { outer_mm };
                area(PI * around * l, ends(outer_mm, inner_mm))
            }
            Self::Wire { diameter_mm, length_mm } => {
                let d = positive("diameter (mm)", diameter_mm)?;
                area(PI * d * positive("length (mm)", length_mm)?, ends(d, 0.0))
            }
            Self::Dome { diameter_mm, height_mm, faces } => {
                let a = positive("diameter (mm)", diameter_mm)? / 2.0;
                let h = positive("height (mm)", height_mm)?;
                let sides = if faces == Faces::Both { 2.0 } else { 1.0 };
                area(sides * PI * (a * a + h * h), 0.0)
            }
            Self::Block { length_mm, width_mm, height_mm } => {
                let (l, w) = (positive("length (mm)", length_mm)?, positive("width (mm)", width_mm)?);
                let h = positive("height (mm)", height_mm)?;
                area(2.0 * (l * w + l * h + w * h), 0.0)
            }
            Self::Sphere { diameter_mm } => {
                let d = positive("diameter (mm)", diameter_mm)?;
                area(PI * d * d, 0.0)
            }
            Self::Blade { length_mm, height_mm, thickness_mm, bevel_mm } => {
                let (flat, ground) = ground(height_mm, thickness_mm, bevel_mm)?;
                let (l, t) = (positive("length (mm)", length_mm)?, thickness_mm);
                area(2.0 * l * (flat + ground), t * (l + 2.0 * flat + bevel_mm))
            }
            Self::Bowl { diameter_mm, height_mm, wall_mm, faces } => {
                let bowl = Hollow::new(diameter_mm, height_mm, wall_mm)?;
                let inside = if faces == Faces::Both { 2.0 * PI * bowl.inner_mm * bowl.depth_mm } else { 0.0 };
                area(2.0 * PI * bowl.outer_mm * height_mm + inside, 0.5 * ends(diameter_mm, 2.0 * bowl.mouth_mm))
            }
        }
    }

    /// The metal in it, mm3; `None` for a [`Shape::Dome`], which is thin: area of one face times its gauge is near.
    ///
    /// Euclid throughout; a cap of a ball of radius R and height h is pi h^2 (3 R - h) / 3.
    ///
    /// # Errors
    /// As [`Shape::area`].
    pub fn volume_mm3(&self) -> Result<Option<f64>, ShapeError> {
        self.area()?;
        let tube = |outer: f64, inner: f64, length: f64| 0.5 * ends(outer, inner) * length;
        let cap = |radius: f64, height: f64| PI * height * height * (3.0 * radius - height) / 3.0;
        Ok(Some(match *self {
            Self::Sheet { length_mm, width_mm, thickness_mm } => length_mm * width_mm * thickness_mm,
            Self::Disc { diameter_mm, thickness_mm } => tube(diameter_mm, 0.0, thickness_mm),
            Self::Ring { outer_mm, inner_mm, width_mm } => tube(outer_mm, inner_mm, width_mm),
            Self::Tube { outer_mm, inner_mm, length_mm, .. } => tube(outer_mm, inner_mm, length_mm),
            Self::Wire { diameter_mm, length_mm } => tube(diameter_mm, 0.0, length_mm),
            Self::Dome { .. } => return Ok(None),
            Self::Block { length_mm, width_mm, height_mm } => length_mm * width_mm * height_mm,
            Self::Sphere { diameter_mm } => PI * diameter_mm * diameter_mm * diameter_mm / 6.0,
            Self::Blade { length_mm, height_mm, thickness_mm, bevel_mm } => {
                length_mm * thickness_mm * (height_mm - 0.5 * bevel_mm)
            }
            Self::Bowl { diameter_mm, height_mm, wall_mm, .. } => {
                let bowl = Hollow::new(diameter_mm, height_mm, wall_mm)?;
                cap(bowl.outer_mm, height_mm) - cap(bowl.inner_mm, bowl.depth_mm)
            }
        }))
    }
}

impl Shape {
    /// The shape as triangles.
    ///
    /// It stands on z = 0 with its axis, or its middle, on x = y = 0. Lengths of sheet, block and blade lie along x,
    /// widths along y; a sheet and a blade lie flat, the blade with its edge at the least y; tubes, rings and wires
    /// (the bent ones too) stand upright; the dome's rim is below, the bowl's above. All of a part is there: what does
    /// not count for [`Shape::area`] is a [`crate::Patch`] that is not counted. The two sides of a dome lie at the same
    /// place, back to back.
    ///
    /// # Errors
    /// [`MeshError::Shape`] as [`Shape::area`]; [`MeshError::TooFine`]; [`MeshError::Far`] for a part of over 10 km.
    pub fn mesh(&self, fineness: Fineness) -> Result<Mesh, MeshError> {
        self.area()?;
        let inside = |faces: Faces| faces == Faces::Both;
        match *self {
            Self::Sheet { length_mm, width_mm, thickness_mm } => {
                straight::sheet(fineness, [length_mm, width_mm, thickness_mm])
            }
            Self::Disc { diameter_mm, thickness_mm } => round::disc(fineness, diameter_mm, thickness_mm),
            Self::Ring { outer_mm, inner_mm, width_mm } => round::ring(fineness, [outer_mm, inner_mm, width_mm]),
            Self::Tube { outer_mm, inner_mm, length_mm, faces } => {
                round::tube(fineness, [outer_mm, inner_mm, length_mm], inside(faces))
            }
            Self::Wire { diameter_mm, length_mm } => round::wire(fineness, diameter_mm, length_mm),
            Self::Dome { diameter_mm, height_mm, faces } => {
                round::dome(fineness, [diameter_mm, height_mm], inside(faces))
            }
            Self::Block { length_mm, width_mm, height_mm } => {
                straight::block(fineness, [length_mm, width_mm, height_mm])
            }
            Self::Sphere { diameter_mm } => round::sphere(fineness, diameter_mm),
            Self::Blade { length_mm, height_mm, thickness_mm, bevel_mm } => {
                straight::blade(fineness, [length_mm, height_mm, thickness_mm, bevel_mm])
            }
            Self::Bowl { diameter_mm, height_mm, wall_mm, faces } => {
                let bowl = Hollow::new(diameter_mm, height_mm, wall_mm)?;
                round::bowl(fineness, [diameter_mm, height_mm, wall_mm], bowl, inside(faces))
            }
        }
    }
}

/// Radius of the sphere whose cap has the rim radius `rim_mm` and the height `height_mm`: (a^2 + h^2) / 2 h.
pub(crate) fn cap_radius_mm(rim_mm: f64, height_mm: f64) -> f64 {
    (rim_mm * rim_mm + height_mm * height_mm) / (2.0 * height_mm)
}

/// Heights along both faces of a blade: what is left flat, and the slant of the bevel.
fn ground(height_mm: f64, thickness_mm: f64, bevel_mm: f64) -> Result<(f64, f64), ShapeError> {
    let (h, t) = (positive("height (mm)", height_mm)?, positive("thickness (mm)", thickness_mm)?);
    let b = positive("bevel (mm)", bevel_mm)?;
    if b > h {
        return Err(ShapeError::Bevel { bevel_mm, height_mm });
    }
    Ok((h - b, libm::hypot(b, 0.5 * t)))
}

/// What follows from the sizes of a bowl.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hollow {
    /// Radius of the outer sphere, mm.
    pub outer_mm: f64,
    /// Radius of the inner sphere, about the same centre, mm.
    pub inner_mm: f64,
    /// From the rim to the bottom inside, mm.
    pub depth_mm: f64,
    /// Radius of the mouth inside, mm.
    pub mouth_mm: f64,
}

impl Hollow {
    pub(crate) fn new(diameter_mm: f64, height_mm: f64, wall_mm: f64) -> Result<Self, ShapeError> {
        let a = positive("diameter (mm)", diameter_mm)? / 2.0;
        let (h, wall) = (positive("height (mm)", height_mm)?, positive("wall (mm)", wall_mm)?);
        let outer_mm = cap_radius_mm(a, h);
        // The plane of the rim must still cut the inner sphere.
        let most_mm = h.min(2.0 * outer_mm - h);
        if wall >= most_mm {
            return Err(ShapeError::Wall { wall_mm, most_mm });
        }
        let (inner_mm, depth_mm) = (outer_mm - wall, h - wall);
        // (inner - depth) is the height of the centre above or below the rim; (a - b)(a + b) keeps its digits.
        let from_rim = inner_mm - depth_mm;
        let mouth_mm = ((inner_mm - from_rim) * (inner_mm + from_rim)).max(0.0).sqrt();
        Ok(Self { outer_mm, inner_mm, depth_mm, mouth_mm })
    }
}

/// Both ends of a bar or tube.
fn ends(outer_mm: f64, inner_mm: f64) -> f64 {
    PI * (outer_mm * outer_mm - inner_mm * inner_mm) / 2.0
}

#[cfg(test)]
#[path = "shape_tests.rs"]
mod tests;
