//! Surfaces as triangles: the form in which a part is mapped, lit and looked at.

use crate::error::MeshError;
use crate::shape::Area;
use crate::vector::{Vec3, bounds, cross, dot, doubled, finite, length, minus, plus, times, unit};

/// More triangles than this are neither made nor kept.
pub const MOST_TRIANGLES: u32 = 2_000_000;
/// No point lies further from the origin, mm: 10 km. Beyond it nothing is a part, and areas lose their digits.
pub const FARTHEST_MM: f64 = 1e7;

/// What a patch of a surface is to the one who looks at the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// What is looked at.
    Face,
    /// The inside of something hollow.
    Hollow,
    /// A narrow side or an end.
    Edge,
}

/// What the surface coordinates (u, v) of a patch are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Chart {
    /// There are none: they are 0.
    None,
    /// A plane, or something unrolled into one: both are lengths along the surface, in mm.
    Plane,
    /// A surface that was turned about an axis: u is the share of the turn, 0 to 1, counter-clockwise seen from above;
    /// v is the length along the outline in mm, from the top of a dome or ball, from the bottom of a bowl, from the
    /// lower end of a tube.
    Turned,
}

/// A part of a surface that belongs together: triangles in a row, with one meaning of their surface coordinates.
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// What it is called, such as `outside`.
    pub name: &'static str,
    /// What it is to the one who looks.
    pub side: Side,
    /// What (u, v) mean on it.
    pub chart: Chart,
    /// Whether its area counts; what is masked, or reached by nothing, does not, but stands in the way all the same.
    pub counted: bool,
    /// Its first triangle.
    pub first: u32,
    /// How many triangles it has.
    pub count: u32,
}

/// What a mesh is made of, for [`Mesh::new`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MeshParts {
    /// Places of the corners, mm.
    pub points_mm: Vec<[f64; 3]>,
    /// The normal at each corner, outward, of any length; where it has no direction the triangles about it say which.
    pub normals: Vec<[f64; 3]>,
    /// (u, v) of each corner, as the [`Chart`] of its patch says; or nothing at all.
    pub uv: Vec<[f64; 2]>,
    /// Three corners each, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// Patches one after another, which together hold every triangle once; none: all is one patch.
    pub patches: Vec<Patch>,
    /// How far the smooth surface may be from the triangles, mm; 0: the triangles are the surface.
    pub chord_mm: f64,
}

/// A surface of triangles with smooth normals. Whatever it is made from, its indices are in range, its points finite
/// and its normals of length 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Mesh {
    points_mm: Vec<Vec3>,
    normals: Vec<Vec3>,
    uv: Vec<[f64; 2]>,
    triangles: Vec<[u32; 3]>,
    patches: Vec<Patch>,
    chord_mm: f64,
    box_mm: [Vec3; 2],
}

impl Mesh {
    /// A mesh from its parts.
    ///
    /// # Errors
    /// [`MeshError`] when there is no triangle or too many, lists differ in length, an index names nothing, patches
    /// leave a gap, or a number is not finite.
    pub fn new(parts: MeshParts) -> Result<Self, MeshError> {
        let MeshParts { points_mm, mut normals, uv, triangles, mut patches, chord_mm } = parts;
        let corners = points_mm.len();
        if triangles.is_empty() {
            return Err(MeshError::Empty { what: "a mesh without triangles" });
        }
        if triangles.len() > MOST_TRIANGLES as usize {
            return Err(MeshError::TooMany { count: 1, each: triangles.len() });
        }
        for (what, given) in [("normals", normals.len()), ("surface coordinates", uv.len())] {
            if given != corners && !(what == "surface coordinates" && given == 0) {
                return Err(MeshError::Unequal { what, given, wanted: corners });
            }
        }
        for (triangle, named) in triangles.iter().enumerate() {
            if let Some(corner) = named.iter().find(|c| **c as usize >= corners) {
                return Err(MeshError::Corner { triangle, corner: *corner, last: corners.saturating_sub(1) });
            }
        }
        let within = |x: f64| x.abs() <= FARTHEST_MM;
        if let Some(given) = points_mm.iter().flatten().find(|x| !within(**x)) {
            return Err(MeshError::Far { what: "a coordinate", given: *given });
        }
        if let Some(given) = uv.iter().flatten().find(|x| !x.is_finite()) {
            return Err(MeshError::Far { what: "a surface coordinate", given: *given });
        }
        if !(within(chord_mm) && chord_mm >= 0.0) {
            return Err(MeshError::Fineness { what: "a chord error", given_mm: chord_mm });
        }
        if patches.is_empty() {
            let count = triangles.len() as u32;
            patches.push(Patch {
                name: "surface",
                side: Side::Face,
                chart: Chart::None,
                counted: true,
                first: 0,
                count,
            });
        }
        let mut end = 0_u32;
        for patch in &patches {
            let next = end.checked_add(patch.count).filter(|next| *next as usize <= triangles.len());
            let (Some(next), true) = (next, patch.first == end) else {
                let (name, first) = (patch.name, patch.first);
                return Err(MeshError::Patches { name, first, wanted: end, all: triangles.len() });
            };
            end = next;
        }
        if end as usize != triangles.len() {
            let name = patches.last().map_or("", |p| p.name);
            return Err(MeshError::Patches { name, first: end, wanted: end, all: triangles.len() });
        }
        straighten(&mut normals, &points_mm, &triangles);
        let box_mm = around(&points_mm, &triangles);
        Ok(Self { points_mm, normals, uv, triangles, patches, chord_mm, box_mm })
    }

    /// Places of the corners, mm.
    pub fn points_mm(&self) -> &[[f64; 3]] {
        &self.points_mm
    }

    /// Outward normals of the corners, of length 1.
    pub fn normals(&self) -> &[[f64; 3]] {
        &self.normals
    }

    /// (u, v) of the corners, as the [`Chart`] of their patch says; empty where the mesh has none.
    pub fn uv(&self) -> &[[f64; 2]] {
        &self.uv
    }

    /// Three corners each, counter-clockwise seen from outside.
    pub fn triangles(&self) -> &[[u32; 3]] {
        &self.triangles
    }

    /// Patches in the order of their triangles.
    pub fn patches(&self) -> &[Patch] {
        &self.patches
    }

    /// How far the smooth surface may be from the triangles, mm; 0: the triangles are the surface.
    pub fn chord_mm(&self) -> f64 {
        self.chord_mm
    }

    /// The patch of a triangle; `None` for a triangle that is not there.
    pub fn patch_of(&self, triangle: u32) -> Option<&Patch> {
        let at = self.patches.partition_point(|p| p.first + p.count <= triangle);
        self.patches.get(at)
    }

    /// The corners of a triangle, mm; zeros for a triangle that is not there.
    pub fn corners_mm(&self, triangle: u32) -> [[f64; 3]; 3] {
        let named = self.triangles.get(triangle as usize);
        named.map_or([[0.0; 3]; 3], |named| named.map(|c| self.points_mm[c as usize]))
    }

    /// Area of a triangle, mm2; 0 for one that is not there.
    pub fn triangle_mm2(&self, triangle: u32) -> f64 {
        0.5 * length(doubled(self.corners_mm(triangle)))
    }

    /// Area of a patch, mm2.
    pub fn patch_mm2(&self, patch: &Patch) -> f64 {
        (patch.first..patch.first.saturating_add(patch.count)).map(|t| self.triangle_mm2(t)).sum()
    }

    /// The area that counts, mm2: that of [`crate::Shape::area`] but for what the triangles cut off.
    pub fn area(&self) -> Area {
        let sum = |edge: bool| {
            let taken = self.patches.iter().filter(|p| p.counted && (p.side == Side::Edge) == edge);
            taken.map(|p| self.patch_mm2(p)).sum::<f64>()
        };
        Area { faces_mm2: sum(false), edges_mm2: sum(true) }
    }

    /// Area of all triangles, whether they count or not, mm2.
    pub fn surface_mm2(&self) -> f64 {
        self.patches.iter().map(|p| self.patch_mm2(p)).sum()
    }

    /// What the surface holds, mm3: sum of a . (b x c) / 6 over its triangles (the divergence theorem). It is negative
    /// where the surface is inside out, and means nothing where it is open; for a thin dome, which is two sides of
    /// nothing, it is 0.
    pub fn volume_mm3(&self) -> f64 {
        let [low, _] = self.box_mm();
        self.triangles.iter().map(|named| tetrahedron(named.map(|c| minus(self.points_mm[c as usize], low)))).sum()
    }

    /// Centre of the surface: the mean place, each weighed by its area, mm. Where there is no area, the middle of the
    /// box.
    pub fn centre_mm(&self) -> [f64; 3] {
        let (mut sum, mut weight) = ([0.0; 3], 0.0);
        for named in &self.triangles {
            let corners = named.map(|c| self.points_mm[c as usize]);
            let area = length(doubled(corners));
            sum = plus(sum, times(plus(plus(corners[0], corners[1]), corners[2]), area / 3.0));
            weight += area;
        }
        let [low, high] = self.box_mm();
        if weight > 0.0 { times(sum, 1.0 / weight) } else { times(plus(low, high), 0.5) }
    }

    /// Smallest and largest coordinates, mm.
    pub fn box_mm(&self) -> [[f64; 3]; 2] {
        self.box_mm
    }

    /// From one corner of the box to the opposite one, mm.
    pub fn diagonal_mm(&self) -> f64 {
        let [low, high] = self.box_mm();
        length(minus(high, low))
    }

    /// How far a point of the triangles must be lifted along its normal, mm, so that a body which bulges does not shade
    /// itself: flat triangles lie under the smooth surface by [`Mesh::chord_mm`], and rounding needs a little more.
    pub fn lift_mm(&self) -> f64 {
        self.chord_mm + 1e-9 * self.diagonal_mm()
    }

    /// A value within a triangle from the values at all corners of the mesh: `shares` are those of its three corners.
    /// `None` for a triangle, or a value, that is not there.
    pub fn between(&self, triangle: u32, shares: [f64; 3], values: &[f64]) -> Option<f64> {
        let named = self.triangles.get(triangle as usize)?;
        let mut sum = 0.0;
        for (corner, share) in named.iter().zip(shares) {
            sum += share * values.get(*corner as usize)?;
        }
        Some(sum)
    }

    /// Surface coordinates within a triangle; `None` where its patch has none.
    pub fn uv_at(&self, triangle: u32, shares: [f64; 3]) -> Option<[f64; 2]> {
        let named = self.triangles.get(triangle as usize)?;
        if self.uv.is_empty() || self.patch_of(triangle)?.chart == Chart::None {
            return None;
        }
        let [a, b, c] = named.map(|c| self.uv[c as usize]);
        Some([0, 1].map(|i| shares[0] * a[i] + shares[1] * b[i] + shares[2] * c[i]))
    }

    /// The same mesh elsewhere.
    ///
    /// # Errors
    /// [`MeshError::Far`].
    pub fn moved(&self, by_mm: [f64; 3]) -> Result<Self, MeshError> {
        let within = |x: f64| x.abs() <= FARTHEST_MM;
        let mut moved = self.clone();
        for point in &mut moved.points_mm {
            *point = plus(*point, by_mm);
        }
        match moved.points_mm.iter().flatten().find(|x| !within(**x)) {
            Some(given) => Err(MeshError::Far { what: "a coordinate of the moved mesh", given: *given }),
            None => {
                moved.box_mm = around(&moved.points_mm, &moved.triangles);
                Ok(moved)
            }
        }
    }

    /// The same mesh turned about an axis through the origin by `deg` degrees, counter-clockwise for one towards whom
    /// the axis points (O. Rodrigues' formula).
    ///
    /// # Errors
    /// [`MeshError::Direction`] for an axis that points nowhere, [`MeshError::View`] for an angle that is no number.
    pub fn turned(&self, axis: [f64; 3], deg: f64) -> Result<Self, MeshError> {
        let wanted = "its length must be greater than 0";
        let along = unit(axis).ok_or(MeshError::Direction { what: "axis", given: axis, wanted })?;
        if !deg.is_finite() {
            return Err(MeshError::View { what: "angle (degrees)", given: deg, wanted: "a finite number" });
        }
        let (sin, cos) = libm::sincos(deg.to_radians());
        let turn = |v: Vec3| {
            let kept = times(along, dot(along, v) * (1.0 - cos));
            plus(plus(times(v, cos), times(cross(along, v), sin)), kept)
        };
        let mut turned = self.clone();
        turned.points_mm.iter_mut().chain(&mut turned.normals).for_each(|v| *v = turn(*v));
        turned.box_mm = around(&turned.points_mm, &turned.triangles);
        Ok(turned)
    }
}

/// Smallest and largest coordinates of what triangles use.
fn around(points_mm: &[Vec3], triangles: &[[u32; 3]]) -> [Vec3; 2] {
    bounds(triangles.iter().flatten().map(|c| points_mm[*c as usize])).unwrap_or([[0.0; 3]; 2])
}

/// Signed volume between a triangle and the origin.
pub(crate) fn tetrahedron([a, b, c]: [Vec3; 3]) -> f64 {
    dot(a, cross(b, c)) / 6.0
}

/// Gives each normal the length 1, and those without direction that of the triangles around.
fn straighten(normals: &mut [Vec3], points_mm: &[Vec3], triangles: &[[u32; 3]]) {
    let mut lost = Vec::new();
    for (corner, normal) in normals.iter_mut().enumerate() {
        // A normal of length 1 keeps its bits.
        if finite(*normal) && (dot(*normal, *normal) - 1.0).abs() < 1e-15 {
            continue;
        }
        match unit(*normal) {
            Some(straight) => *normal = straight,
            None => lost.push(corner),
        }
    }
    if lost.is_empty() {
        return;
    }
    let mut around = vec![[0.0; 3]; normals.len()];
    for named in triangles {
        let face = doubled(named.map(|c| points_mm[c as usize]));
        for corner in named {
            around[*corner as usize] = plus(around[*corner as usize], face);
        }
    }
    for corner in lost {
        normals[corner] = unit(around[corner]).unwrap_or([0.0, 0.0, 1.0]);
    }
}

#[cfg(test)]
#[path = "mesh_tests.rs"]
pub(crate) mod tests;
