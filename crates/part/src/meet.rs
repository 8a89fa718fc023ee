//! Where a ray meets a triangle or a box.
//!
//! The triangle test is S. Woop, C. Benthin and I. Wald's (Watertight ray/triangle intersection, Journal of Computer
//! Graphics Techniques 2 (2013) 65): the ray is sheared onto the z axis, and each edge is judged by one product that
//! two triangles with that edge reckon from the same bits, so that no ray slips between them. Departure: no second
//! reckoning where a product is 0: an edge belongs to both triangles, and the caller takes the first.

use crate::error::MeshError;
use crate::vector::{Vec3, finite, minus, unit};

/// A half line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ray {
    pub(crate) from: Vec3,
    pub(crate) direction: Vec3,
}

impl Ray {
    /// From `from_mm` on in a direction of any length above 0.
    ///
    /// # Errors
    /// [`MeshError::Direction`], and [`MeshError::View`] for a beginning that is no number.
    pub fn new(from_mm: [f64; 3], direction: [f64; 3]) -> Result<Self, MeshError> {
        let wanted = "its length must be greater than 0";
        let along = unit(direction).ok_or(MeshError::Direction { what: "ray direction", given: direction, wanted })?;
        if !finite(from_mm) {
            let given = from_mm.into_iter().find(|x| !x.is_finite()).unwrap_or(f64::NAN);
            return Err(MeshError::View { what: "beginning of a ray (mm)", given, wanted: "a finite number" });
        }
        Ok(Self { from: from_mm, direction: along })
    }

    /// Where it begins, mm.
    pub fn from_mm(&self) -> [f64; 3] {
        self.from
    }

    /// Where it goes, of length 1.
    pub fn direction(&self) -> [f64; 3] {
        self.direction
    }

    /// The place `distance_mm` along it, mm.
    pub fn at_mm(&self, distance_mm: f64) -> [f64; 3] {
        [0, 1, 2].map(|i| self.from[i] + distance_mm * self.direction[i])
    }
}

/// A ray, or a stretch whose direction has the length of the stretch, with what is reckoned once for all triangles.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sheared {
    from: Vec3,
    /// One over each coordinate of the direction.
    inverse: Vec3,
    /// Which axis the ray follows most, and the two others.
    axes: [usize; 3],
    shear: Vec3,
}

/// A triangle that is met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Met {
    /// In lengths of the direction.
    pub along: f64,
    pub shares: [f64; 3],
    /// Whether its outer side is met.
    pub facing: bool,
}

impl Sheared {
    /// `direction` is finite and not 0.
    pub(crate) fn new(from: Vec3, direction: Vec3) -> Self {
        let size = direction.map(f64::abs);
        let z = if size[0] > size[1] && size[0] > size[2] {
            0
        } else if size[1] > size[2] {
            1
        } else {
            2
        };
        let (x, y) = ((z + 1) % 3, (z + 2) % 3);
        // Keeps the winding as it is seen from where the ray comes.
        let axes = if direction[z] < 0.0 { [y, x, z] } else { [x, y, z] };
        let down = direction[z];
        let shear = [direction[axes[0]] / down, direction[axes[1]] / down, 1.0 / down];
        Self { from, inverse: direction.map(|d| 1.0 / d), axes, shear }
    }

    /// Where it meets a triangle, ahead or behind.
    pub(crate) fn triangle(&self, corners: &[Vec3; 3]) -> Option<Met> {
        let [x, y, z] = self.axes;
        let [a, b, c] = corners.map(|corner| {
            let to = minus(corner, self.from);
            [to[x] - self.shear[0] * to[z], to[y] - self.shear[1] * to[z], self.shear[2] * to[z]]
        });
        let across = [c[0] * b[1] - c[1] * b[0], a[0] * c[1] - a[1] * c[0], b[0] * a[1] - b[1] * a[0]];
        if across.iter().any(|e| *e < 0.0) && across.iter().any(|e| *e > 0.0) {
            return None;
        }
        let all = across[0] + across[1] + across[2];
        // 0: seen from its edge, or no area; no number: overflow.
        if !(all.abs() > 0.0 && all.is_finite()) {
            return None;
        }
        let shares = across.map(|e| e / all);
        let along = shares[0] * a[2] + shares[1] * b[2] + shares[2] * c[2];
        along.is_finite().then_some(Met { along, shares, facing: all > 0.0 })
    }

    /// Where it enters a box, if it does so before `most`, and not behind its beginning.
    pub(crate) fn enters(&self, [low, high]: &[Vec3; 2], most: f64) -> Option<f64> {
        let (mut first, mut last) = (0.0_f64, most);
        for i in 0..3 {
            let (a, b) = ((low[i] - self.from[i]) * self.inverse[i], (high[i] - self.from[i]) * self.inverse[i]);
            // f64::min and max pass over what is no number: the beginning lies in a wall that the ray runs along.
            first = first.max(a.min(b));
            last = last.min(a.max(b));
        }
        // Rounding must not lose a box whose triangle is met.
        (first <= last * (1.0 + 1e-12)).then_some(first)
    }
}
