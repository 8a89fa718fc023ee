//! Many copies of one part, in rows.

use crate::error::MeshError;
use crate::mesh::{MOST_TRIANGLES, Mesh, MeshParts};
use crate::vector::{Vec3, finite, length, plus, times};

/// How copies hang or lie: rows of equal parts with an even pitch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rack {
    /// How many there are; at least 1.
    pub count: u32,
    /// How many are in a row; the last row may have fewer. At least 1.
    pub per_row: u32,
    /// From one of a row to the next, mm.
    pub along_mm: [f64; 3],
    /// From one row to the next, mm.
    pub rows_mm: [f64; 3],
}

/// A rack as one mesh.
#[derive(Debug, Clone, PartialEq)]
pub struct Racked {
    /// All copies, the patches of the first before those of the second.
    pub mesh: Mesh,
    /// Triangles of each copy.
    pub each: u32,
}

impl Racked {
    /// Which copy a triangle belongs to, from 0.
    pub fn piece_of(&self, triangle: u32) -> u32 {
        triangle / self.each.max(1)
    }
}

impl Rack {
    /// How far copy `piece` (from 0) is moved from where the one part stands, mm.
    pub fn place_mm(&self, piece: u32) -> [f64; 3] {
        let (row, place) = (piece / self.per_row.max(1), piece % self.per_row.max(1));
        plus(times(self.along_mm, f64::from(place)), times(self.rows_mm, f64::from(row)))
    }

    /// The least room between the boxes around any two copies, mm; below 0 they overlap, though the parts themselves
    /// need not. `None` for a single copy.
    pub fn gap_mm(&self, one: &Mesh) -> Option<f64> {
        let [low, high] = one.box_mm();
        let gap = |step: Vec3| (0..3).map(|i| step[i].abs() - (high[i] - low[i])).fold(f64::NEG_INFINITY, f64::max);
        let columns = i64::from(self.per_row.max(1).min(self.count));
        let rows = i64::from(self.count.div_ceil(self.per_row.max(1)));
        // Copies differ by whole steps; skewed rows can bring distant ones together.
        let mut least: Option<f64> = None;
        for row in 0..rows {
            for column in 1 - columns..columns {
                let full = row * i64::from(self.per_row) + column.max(0) < i64::from(self.count);
                if (row, column) > (0, 0) && full {
                    let step = plus(times(self.along_mm, column as f64), times(self.rows_mm, row as f64));
                    least = Some(least.map_or(gap(step), |least| least.min(gap(step))));
                }
            }
        }
        least
    }

    /// All copies as one mesh.
    ///
    /// # Errors
    /// [`MeshError`] when there is no copy or too many, or when two of them stand at the same place.
    pub fn mesh(&self, one: &Mesh) -> Result<Racked, MeshError> {
        let each = one.triangles().len();
        if self.count == 0 || self.per_row == 0 {
            return Err(MeshError::Empty { what: "a rack, or a row of it," });
        }
        if u64::from(self.count) * each as u64 > u64::from(MOST_TRIANGLES) {
            return Err(MeshError::TooMany { count: self.count, each });
        }
        let needed = [(self.per_row.min(self.count) > 1, "step along a row (mm)", self.along_mm)];
        for (needed, what, given) in
            needed.into_iter().chain([(self.count > self.per_row, "step between rows (mm)", self.rows_mm)])
        {
            if needed && !(finite(given) && length(given) > 0.0) {
                return Err(MeshError::Direction { what, given, wanted: "copies would stand in one another" });
            }
        }
        let mut parts = MeshParts { chord_mm: one.chord_mm(), ..MeshParts::default() };
        for piece in 0..self.count {
            let place = self.place_mm(piece);
            let (corners, before) = (parts.points_mm.len() as u32, parts.triangles.len() as u32);
            parts.points_mm.extend(one.points_mm().iter().map(|p| plus(*p, place)));
            parts.normals.extend_from_slice(one.normals());
            parts.uv.extend_from_slice(one.uv());
            parts.triangles.extend(one.triangles().iter().map(|named| named.map(|c| c + corners)));
            parts.patches.extend(one.patches().iter().cloned().map(|mut patch| {
                patch.first += before;
                patch
            }));
        }
        Ok(Racked { mesh: Mesh::new(parts)?, each: each as u32 })
    }
}
