//! How a part is looked at: a view from a direction, and the ray through each place of its picture.

use crate::error::MeshError;
use crate::meet::Ray;
use crate::mesh::Mesh;
use crate::vector::{Vec3, bounds, cross, dot, finite, minus, plus, times, unit};

/// Most pixels along a side.
pub const MOST_PIXELS: u32 = 16_384;

/// How rays spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lens {
    /// All rays are parallel, as from very far: angles are the same all over a flat part.
    Parallel {
        /// What the height of the picture shows, mm, above 0.
        height_mm: f64,
    },
    /// All rays begin at the eye.
    Perspective {
        /// The angle that the height of the picture spans, degrees, above 0 and at most 150.
        field_deg: f64,
    },
}

/// A view before it is checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// The place in the middle of the picture, mm.
    pub target_mm: [f64; 3],
    /// From there to the one who looks; any length above 0.
    pub from: [f64; 3],
    /// What is up in the picture, or leans towards it; not along `from`.
    pub up: [f64; 3],
    /// From the target to the eye, or to the plane where parallel rays begin, mm, above 0: what is nearer to the eye is
    /// not seen.
    pub distance_mm: f64,
    /// How rays spread.
    pub lens: Lens,
    /// Width and height of the picture in pixels, which are square; 1 to [`MOST_PIXELS`].
    pub pixels: [u32; 2],
}

/// A view that is checked: gives the ray through any place of its picture.
///
/// Places in the picture are in pixels, x to the right from the left edge and y down from the upper edge: the middle of
/// the first pixel is (0.5, 0.5).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    view: View,
    /// Right, up and towards the one who looks; all of length 1 and across one another.
    axes: [Vec3; 3],
    /// Height of the picture: mm at the target (parallel), or for each mm of distance.
    span: f64,
}

/// The direction to one who stands `around_deg` degrees counter-clockwise from the x axis and `above_deg` above the
/// plane of x and y, of length 1.
pub fn direction_deg(around_deg: f64, above_deg: f64) -> [f64; 3] {
    let (sin, cos) = libm::sincos(around_deg.to_radians());
    let (rise, level) = libm::sincos(above_deg.to_radians());
    [level * cos, level * sin, rise]
}

impl Camera {
    /// A camera for a view.
    ///
    /// # Errors
    /// [`MeshError::Direction`] when `from` points nowhere or `up` along it; [`MeshError::View`] for a number that is
    /// out of its range.
    pub fn new(view: View) -> Result<Self, MeshError> {
        let above = "its length must be greater than 0";
        let towards = unit(view.from).ok_or(MeshError::Direction { what: "view", given: view.from, wanted: above })?;
        let no_up = |wanted| MeshError::Direction { what: "up", given: view.up, wanted };
        let up = unit(view.up).ok_or(no_up(above))?;
        let right = cross(up, towards);
        if dot(right, right) < 1e-12 {
            return Err(no_up("it must not be along the view: from above or below, choose up = (0, 1, 0)"));
        }
        let right = unit(right).ok_or(no_up(above))?;
        let up = cross(towards, right);
        let refused = |what, given, wanted| Err(MeshError::View { what, given, wanted });
        if !finite(view.target_mm) {
            let given = view.target_mm.into_iter().find(|x| !x.is_finite()).unwrap_or(f64::NAN);
            return refused("target of a view (mm)", given, "a finite number");
        }
        if !(view.distance_mm.is_finite() && view.distance_mm > 0.0) {
            return refused("distance of a view (mm)", view.distance_mm, "a finite number greater than 0");
        }
        if let Some(given) = view.pixels.into_iter().find(|p| !(1..=MOST_PIXELS).contains(p)) {
            return refused("width or height of a picture (pixels)", f64::from(given), "1 to 16384");
        }
        let span = match view.lens {
            Lens::Parallel { height_mm } if height_mm.is_finite() && height_mm > 0.0 => height_mm,
            Lens::Parallel { height_mm } => {
                return refused("height shown (mm)", height_mm, "a finite number greater than 0");
            }
            Lens::Perspective { field_deg } if field_deg > 0.0 && field_deg <= 150.0 => {
                2.0 * libm::tan(0.5 * field_deg.to_radians())
            }
            Lens::Perspective { field_deg } => {
                return refused("angle of view (degrees)", field_deg, "greater than 0, at most 150");
            }
        };
        Ok(Self { view, axes: [right, up, towards], span })
    }

    /// A view of all of a mesh with `margin` of the picture (0 to 0.4) free along each edge of it, at least. Height or
    /// distance in `view` are chosen anew, and so is its target; an angle of view is kept.
    ///
    /// # Errors
    /// As [`Camera::new`]; and for a margin out of its range.
    pub fn framing(mesh: &Mesh, view: View, margin: f64) -> Result<Self, MeshError> {
        if !(0.0..=0.4).contains(&margin) {
            return Err(MeshError::View { what: "margin of a picture", given: margin, wanted: "0 to 0.4 of it" });
        }
        // Numbers that are chosen below must not be refused here.
        let lens = match view.lens {
            Lens::Parallel { .. } => Lens::Parallel { height_mm: 1.0 },
            lens => lens,
        };
        let [low, high] = mesh.box_mm();
        let middle = times(plus(low, high), 0.5);
        let view = View { target_mm: middle, distance_mm: 1.0, lens, ..view };
        let camera = Self::new(view)?;
        let [wide, tall] = view.pixels.map(f64::from);
        let used = 1.0 - 2.0 * margin;
        let seen = mesh.triangles().iter().flatten().map(|c| camera.own(mesh.points_mm()[*c as usize]));
        let [near_low, near_high] = bounds(seen.clone()).unwrap_or([[0.0; 3]; 2]);
        let size = mesh.diagonal_mm().max(1e-6);
        let chosen = match view.lens {
            Lens::Parallel { .. } => {
                let shown = minus(near_high, near_low);
                let height_mm = (shown[1].max(shown[0] * tall / wide) / used).max(1e-6);
                let aside = [0, 1].map(|i| 0.5 * (near_low[i] + near_high[i]));
                let target_mm = plus(middle, plus(times(camera.axes[0], aside[0]), times(camera.axes[1], aside[1])));
                View { target_mm, distance_mm: size, lens: Lens::Parallel { height_mm }, ..view }
            }
            Lens::Perspective { .. } => {
                let half = 0.5 * camera.span * used;
                let needed = |p: Vec3| p[2] + p[1].abs().max(p[0].abs() * tall / wide) / half;
                // Nothing is nearer than a thousandth of the part's size.
                let distance_mm = seen.map(needed).fold(near_high[2] + 1e-3 * size, f64::max);
                View { distance_mm, ..view }
            }
        };
        Self::new(chosen)
    }

    /// The view it was made for.
    pub fn view(&self) -> &View {
        &self.view
    }

    /// Right, up and towards the one who looks, of length 1.
    pub fn axes(&self) -> [[f64; 3]; 3] {
        self.axes
    }

    /// What a pixel spans at the target, mm.
    pub fn pixel_mm(&self) -> f64 {
        let height = match self.view.lens {
            Lens::Parallel { .. } => self.span,
            Lens::Perspective { .. } => self.span * self.view.distance_mm,
        };
        height / f64::from(self.view.pixels[1])
    }

    /// The ray through a place of the picture, pixels; whole numbers are the corners of pixels.
    pub fn ray(&self, x: f64, y: f64) -> Ray {
        let [wide, tall] = self.view.pixels.map(f64::from);
        // From the middle, in heights of the picture.
        let (right, up) = ((x - 0.5 * wide) / tall * self.span, (0.5 * tall - y) / tall * self.span);
        let aside = plus(times(self.axes[0], right), times(self.axes[1], up));
        let eye = plus(self.view.target_mm, times(self.axes[2], self.view.distance_mm));
        let back = times(self.axes[2], -1.0);
        match self.view.lens {
            Lens::Parallel { .. } => Ray { from: plus(eye, aside), direction: back },
            Lens::Perspective { .. } => {
                let along = plus(back, aside);
                Ray { from: eye, direction: unit(along).unwrap_or(back) }
            }
        }
    }

    /// Where a place, mm, is in the picture, pixels, whether within its edges or not; `None` where it is not before the
    /// eye.
    pub fn pixel(&self, at_mm: [f64; 3]) -> Option<[f64; 2]> {
        let [wide, tall] = self.view.pixels.map(f64::from);
        let [right, up, towards] = self.own(at_mm);
        let ahead = self.view.distance_mm - towards;
        let shown = match self.view.lens {
            Lens::Parallel { .. } => self.span,
            Lens::Perspective { .. } => self.span * ahead,
        };
        (ahead > 0.0).then(|| [0.5 * wide + right / shown * tall, 0.5 * tall - up / shown * tall])
    }

    /// A place in the camera's own axes, from the target.
    fn own(&self, at_mm: Vec3) -> Vec3 {
        let from = minus(at_mm, self.view.target_mm);
        self.axes.map(|axis| dot(axis, from))
    }
}

#[cfg(test)]
#[path = "camera_tests.rs"]
mod tests;
