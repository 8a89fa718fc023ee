//! How finely a smooth surface is cut into triangles, and the grids that the shapes are cut into.

use crate::error::MeshError;
use crate::mesh::{Chart, MOST_TRIANGLES, Mesh, MeshParts, Patch, Side};
use crate::vector::{Vec3, dot, doubled};
use std::f64::consts::PI;

/// A round outline has at least so many sides, however coarse: fewer would not look round.
const LEAST_AROUND: f64 = 12.0;

/// How finely a smooth surface is cut into triangles.
///
/// All corners lie on the surface, so that the triangles lie under one that bulges. With chord error e no point of them
/// is further than e from it: areas of a cylinder of radius r are small by at most e/(3 r) of themselves, of a ball by
/// 2 e/r, and a body that bulges lacks at most e times its area of its volume. A quarter of e: twice as many triangles
/// each way, and a quarter of what is lacking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fineness {
    chord_mm: f64,
    longest_mm: f64,
}

impl Fineness {
    /// Triangles within `chord_mm` (above 0) of the surface, as long as that allows: flat faces are two triangles.
    ///
    /// # Errors
    /// [`MeshError::Fineness`].
    pub fn chord(chord_mm: f64) -> Result<Self, MeshError> {
        if chord_mm.is_finite() && chord_mm > 0.0 {
            Ok(Self { chord_mm, longest_mm: f64::INFINITY })
        } else {
            Err(MeshError::Fineness { what: "a chord error", given_mm: chord_mm })
        }
    }

    /// The same with no side along a patch's coordinates longer than `longest_mm` (above 0), so that a value that
    /// changes along a flat face can be held at its corners. A diagonal may be longer, by the root of 2 at most.
    ///
    /// # Errors
    /// [`MeshError::Fineness`].
    pub fn longest(self, longest_mm: f64) -> Result<Self, MeshError> {
        if longest_mm.is_finite() && longest_mm > 0.0 {
            Ok(Self { longest_mm, ..self })
        } else {
            Err(MeshError::Fineness { what: "a longest side", given_mm: longest_mm })
        }
    }

    /// Chord error, mm.
    pub fn chord_mm(&self) -> f64 {
        self.chord_mm
    }

    fn too_fine(&self) -> MeshError {
        MeshError::TooFine { chord_mm: self.chord_mm, longest_mm: self.longest_mm }
    }

    fn count(&self, least: f64) -> Result<u32, MeshError> {
        let count = least.ceil().max(1.0);
        if count <= f64::from(MOST_TRIANGLES) { Ok(count as u32) } else { Err(self.too_fine()) }
    }

    /// Pieces of a straight stretch.
    pub(crate) fn straight(&self, length_mm: f64) -> Result<u32, MeshError> {
        self.count(length_mm / self.longest_mm)
    }

    /// Pieces of an arc of `angle` radians, which errs by no more than `share` of the chord error: between the arc and
    /// the chord of an angle 2 x there is r (1 - cos x).
    pub(crate) fn arc(&self, radius_mm: f64, angle: f64, share: f64) -> Result<u32, MeshError> {
        let sagitta = share * self.chord_mm / radius_mm;
        // acos(1 - s) loses the digits of a small s; 2 asin(sqrt(s/2)) is the same and does not.
        let half = if sagitta >= 1.0 { 0.5 * PI } else { 2.0 * libm::asin((0.5 * sagitta).sqrt()) };
        let chords = angle / (2.0 * half);
        let sides = LEAST_AROUND * angle / (2.0 * PI);
        self.count(chords.max(sides).max(angle * radius_mm / self.longest_mm))
    }
}

/// A corner of a grid.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Corner {
    pub at: Vec3,
    pub normal: Vec3,
    pub uv: [f64; 2],
}

/// What a patch will be.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Kind {
    pub name: &'static str,
    pub side: Side,
    pub chart: Chart,
    pub counted: bool,
}

impl Kind {
    pub(crate) fn face(name: &'static str, chart: Chart) -> Self {
        Self { name, side: Side::Face, chart, counted: true }
    }

    pub(crate) fn edge(name: &'static str, chart: Chart) -> Self {
        Self { name, side: Side::Edge, chart, counted: true }
    }

    pub(crate) fn hollow(name: &'static str, counted: bool) -> Self {
        Self { name, side: Side::Hollow, chart: Chart::Turned, counted }
    }
}

/// A mesh that grows patch by patch. Corners of different patches at one place have the same bits there, so that no ray
/// slips between them and they can be merged.
#[derive(Debug)]
pub(crate) struct Builder {
    fineness: Fineness,
    parts: MeshParts,
}

impl Builder {
    pub(crate) fn new(fineness: Fineness) -> Self {
        Self { fineness, parts: MeshParts { chord_mm: fineness.chord_mm, ..MeshParts::default() } }
    }

    /// A patch; [`Builder::grid`] fills the last one.
    pub(crate) fn patch(&mut self, kind: Kind) {
        let Kind { name, side, chart, counted } = kind;
        let first = self.parts.triangles.len() as u32;
        self.parts.patches.push(Patch { name, side, chart, counted, first, count: 0 });
    }

    /// A grid of `across` by `along` cells of two triangles each; a cell that has lost a side, as at a pole, has one.
    pub(crate) fn grid(&mut self, across: u32, along: u32, at: impl Fn(u32, u32) -> Corner) -> Result<(), MeshError> {
        let more = 2 * u64::from(across) * u64::from(along);
        if self.parts.triangles.len() as u64 + more > u64::from(MOST_TRIANGLES) {
            return Err(self.fineness.too_fine());
        }
        let first = self.parts.points_mm.len() as u32;
        for j in 0..=along {
            for i in 0..=across {
                let corner = at(i, j);
                self.parts.points_mm.push(corner.at);
                self.parts.normals.push(corner.normal);
                self.parts.uv.push(corner.uv);
            }
        }
        let name = |i: u32, j: u32| first + j * (across + 1) + i;
        for j in 0..along {
            for i in 0..across {
                self.triangle([name(i, j), name(i + 1, j), name(i + 1, j + 1)]);
                self.triangle([name(i, j), name(i + 1, j + 1), name(i, j + 1)]);
            }
        }
        Ok(())
    }

    /// A triangle, wound so that it faces where its corners' normals point; none where two corners are one.
    fn triangle(&mut self, named: [u32; 3]) {
        let corners = named.map(|c| self.parts.points_mm[c as usize]);
        let apart = |a: Vec3, b: Vec3| a.iter().zip(&b).any(|(x, y)| (x - y).abs() > 0.0);
        if !(apart(corners[0], corners[1]) && apart(corners[1], corners[2]) && apart(corners[2], corners[0])) {
            return;
        }
        let face = doubled(corners);
        let outward: f64 = named.iter().map(|c| dot(face, self.parts.normals[*c as usize])).sum();
        let [a, b, c] = named;
        self.parts.triangles.push(if outward < 0.0 { [a, c, b] } else { named });
        if let Some(patch) = self.parts.patches.last_mut() {
            patch.count += 1;
        }
    }

    pub(crate) fn done(self) -> Result<Mesh, MeshError> {
        Mesh::new(self.parts)
    }
}
