//! Smooth normals for a mesh that came without: sharp edges stay sharp.

use crate::edges::{Edges, Sets};
use crate::error::MeshError;
use crate::mesh::{Mesh, MeshParts};
use crate::reading::Soup;
use crate::vector::{Vec3, cross, dot, doubled, length, minus, plus, times, unit};

/// A mesh of merged corners. A corner gets one normal for all triangles around it that meet, one after another, at less
/// than `crease_deg`, each weighed by its angle there (G. Thürmer and C. A. Wüthrich, Journal of Graphics Tools 3 (1)
/// (1998) 43; from memory), so that how a face is cut into triangles does not matter; where edges are sharp it becomes
/// several corners. Slivers without direction smooth nothing.
pub(crate) fn smooth(soup: &Soup, crease_deg: f64) -> Result<Mesh, MeshError> {
    let places = |t: usize| soup.triangles[t].map(|c| soup.points_mm[c as usize]);
    let faces: Vec<Option<Vec3>> = (0..soup.triangles.len()).map(|t| unit(doubled(places(t)))).collect();
    let least = libm::cos(crease_deg.to_radians());
    // A corner of a triangle has the number 3 t + which.
    let mut sets = Sets::of(3 * soup.triangles.len());
    for [a, b] in Edges::of(&soup.triangles).pairs() {
        let (Some(one), Some(other)) = (faces[a.triangle as usize], faces[b.triangle as usize]) else { continue };
        // The same way along an edge: they look to different sides.
        if a.rising == b.rising || dot(one, other) < least {
            continue;
        }
        let ends = |e: crate::edges::Edge| {
            let (from, to) = (3 * e.triangle + u32::from(e.side), 3 * e.triangle + u32::from(e.side + 1) % 3);
            if e.rising { [from, to] } else { [to, from] }
        };
        let ([low, high], [other_low, other_high]) = (ends(a), ends(b));
        sets.unite(low, other_low);
        sets.unite(high, other_high);
    }
    let (names, count) = sets.numbered();
    let mut parts = MeshParts {
        points_mm: vec![[0.0; 3]; count],
        normals: vec![[0.0; 3]; count],
        triangles: Vec::with_capacity(soup.triangles.len()),
        ..MeshParts::default()
    };
    for (t, face) in faces.iter().enumerate() {
        let corners = places(t);
        let named = [0, 1, 2].map(|i| names[3 * t + i]);
        for i in 0..3 {
            parts.points_mm[named[i] as usize] = corners[i];
            if let Some(face) = face {
                let (to, back) = (minus(corners[(i + 1) % 3], corners[i]), minus(corners[(i + 2) % 3], corners[i]));
                let angle = libm::atan2(length(cross(to, back)), dot(to, back));
                parts.normals[named[i] as usize] = plus(parts.normals[named[i] as usize], times(*face, angle));
            }
        }
        parts.triangles.push(named);
    }
    Mesh::new(parts)
}
