//! Shapes and their area in closed form.

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
        }
    }
}

/// Both ends of a bar or tube.
fn ends(outer_mm: f64, inner_mm: f64) -> f64 {
    PI * (outer_mm * outer_mm - inner_mm * inner_mm) / 2.0
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;

    /// Area of a surface of revolution: 2 pi times the integral of r ds along the outline, by very many short cones.
    /// It shares no formula with the shapes: the outline is a list of points.
    fn turned(outline: impl Fn(f64) -> (f64, f64)) -> f64 {
        const STEPS: u32 = 200_000;
        let at = |i: u32| outline(f64::from(i) / f64::from(STEPS));
        (0..STEPS)
            .map(|i| {
                let ((r0, z0), (r1, z1)) = (at(i), at(i + 1));
                PI * (r0 + r1) * (r1 - r0).hypot(z1 - z0)
            })
            .sum()
    }

    fn line(from: (f64, f64), to: (f64, f64)) -> f64 {
        turned(|s| (from.0 + s * (to.0 - from.0), from.1 + s * (to.1 - from.1)))
    }

    fn close(ours: f64, other: f64) {
        assert!((ours / other - 1.0).abs() < 1e-9, "{ours} against {other}");
    }

    #[test]
    fn turned_shapes_agree_with_integration() {
        let total = |shape: Shape| shape.area().unwrap().total_mm2();
        let disc = 2.0 * line((0.0, 0.0), (29.0, 0.0)) + line((29.0, 0.0), (29.0, 1.2));
        close(total(Shape::Disc { diameter_mm: 58.0, thickness_mm: 1.2 }), disc);
        let band = line((10.5, 0.0), (10.5, 6.0)) + line((9.0, 0.0), (9.0, 6.0)) + 2.0 * line((9.0, 0.0), (10.5, 0.0));
        close(total(Shape::Ring { outer_mm: 21.0, inner_mm: 18.0, width_mm: 6.0 }), band);
        close(total(Shape::Tube { outer_mm: 21.0, inner_mm: 18.0, length_mm: 6.0, faces: Faces::Both }), band);
        let outside = band - line((9.0, 0.0), (9.0, 6.0));
        close(total(Shape::Tube { outer_mm: 21.0, inner_mm: 18.0, length_mm: 6.0, faces: Faces::Outer }), outside);
        let wire = line((0.4, 0.0), (0.4, 300.0)) + 2.0 * line((0.0, 0.0), (0.4, 0.0));
        close(total(Shape::Wire { diameter_mm: 0.8, length_mm: 300.0 }), wire);
        let ball = turned(|s| (6.0 * (PI * s).sin(), 6.0 * (PI * s).cos()));
        close(total(Shape::Sphere { diameter_mm: 12.0 }), ball);
    }

    /// The cap, flat, half round and more than half round, as an arc that is turned about its axis.
    #[test]
    fn domes_agree_with_integration() {
        for (diameter_mm, height_mm) in [(58.0, 2.0), (58.0, 18.0), (58.0, 29.0), (20.0, 30.0)] {
            let a: f64 = diameter_mm / 2.0;
            let radius = (a * a + height_mm * height_mm) / (2.0 * height_mm);
            let opening = ((radius - height_mm) / radius).acos();
            let arc = turned(|s| (radius * (opening * s).sin(), radius * (opening * s).cos()));
            close(Shape::Dome { diameter_mm, height_mm, faces: Faces::Outer }.area().unwrap().faces_mm2, arc);
            close(Shape::Dome { diameter_mm, height_mm, faces: Faces::Both }.area().unwrap().faces_mm2, 2.0 * arc);
        }
    }

    /// Archimedes, On the Sphere and Cylinder I: a half sphere has half the sphere's area.
    #[test]
    fn two_half_spheres_are_a_sphere() {
        let half = Shape::Dome { diameter_mm: 40.0, height_mm: 20.0, faces: Faces::Both }.area().unwrap();
        close(half.total_mm2(), Shape::Sphere { diameter_mm: 40.0 }.area().unwrap().total_mm2());
    }

    /// Unfolded: the faces of a block, one by one.
    #[test]
    fn sheets_and_blocks_are_six_rectangles() {
        let block = Shape::Block { length_mm: 50.0, width_mm: 20.0, height_mm: 0.5 }.area().unwrap();
        let sheet = Shape::Sheet { length_mm: 50.0, width_mm: 20.0, thickness_mm: 0.5 }.area().unwrap();
        let rectangles = [1000.0, 1000.0, 25.0, 25.0, 10.0, 10.0];
        close(block.total_mm2(), rectangles.iter().sum());
        close(sheet.total_mm2(), rectangles.iter().sum());
        close(sheet.edges_mm2, 70.0);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let sphere = |diameter_mm: f64| Shape::Sphere { diameter_mm }.area();
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(matches!(sphere(bad), Err(ShapeError::NotPositive { .. })));
        }
        let bored = Shape::Ring { outer_mm: 18.0, inner_mm: 18.0, width_mm: 2.0 }.area();
        assert!(matches!(bored, Err(ShapeError::Bore { .. })));
    }
}
