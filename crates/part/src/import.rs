//! A mesh file read, checked, mended where that is safe, and made ready.

use crate::coarsen::{Coarser, coarsen};
use crate::faults::{self, MeshFault};
use crate::mesh::{MOST_TRIANGLES, Mesh};
use crate::reading::{Format, Limits, ReadError, Reading};
use crate::smooth::smooth;
use crate::weld::{nearness_mm, weld};
use crate::{obj, stl, winding};

/// A mesh that was read, with all that was found about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Import {
    /// The mesh, in mm, with smooth normals, without surface coordinates; one patch that counts.
    pub mesh: Mesh,
    /// What was wrong with it as it was read.
    pub faults: Vec<MeshFault>,
    /// What was done to it because it had too many triangles.
    pub coarser: Option<Coarser>,
    /// Triangles in the file, polygons cut.
    pub triangles: u32,
    /// Places of corners, those at the same place taken as one.
    pub corners: u32,
}

/// Reads a mesh file from its bytes.
///
/// Corners nearer than a millionth of the mesh's size are merged. Triangles that collapse, or are there twice, are left
/// out; those that face against most of their piece are turned, and so are pieces whose inside is outside; nothing else
/// is mended. Then, if there are more triangles than [`Limits::keep`], the mesh is made coarser. All that is said in
/// [`Import`].
///
/// # Errors
/// [`ReadError`] for a file that is too large, is not of that format, is cut short, holds numbers out of all
/// proportion, or no triangle with an area; it says where and what to do.
pub fn read(format: Format, bytes: &[u8], reading: &Reading) -> Result<Import, ReadError> {
    let limits = Limits { triangles: reading.limits.triangles.min(MOST_TRIANGLES), ..reading.limits };
    let reading = &Reading { limits, ..*reading };
    if !(0.0..=180.0).contains(&reading.crease_deg) {
        return Err(ReadError::Crease { given: reading.crease_deg });
    }
    if bytes.is_empty() {
        return Err(ReadError::Empty);
    }
    if bytes.len() > limits.bytes {
        return Err(ReadError::Bytes { bytes: bytes.len(), most: limits.bytes });
    }
    let raw = match format {
        Format::Stl => stl::read(bytes, reading)?,
        Format::Obj => obj::read(bytes, reading)?,
    };
    if raw.triangles.is_empty() {
        return Err(ReadError::None { hint: String::new() });
    }
    let triangles = raw.triangles.len();
    let near_mm = nearness_mm(&raw.points_mm);
    let mut soup = weld(&raw, near_mm);
    drop(raw);
    let (collapsed, slivers) = faults::areas(&mut soup, near_mm);
    if soup.triangles.len() == slivers as usize {
        return Err(ReadError::Flat { triangles });
    }
    let mut found = Vec::new();
    let doubles = faults::doubles(&mut soup);
    if doubles > 0 {
        found.push(MeshFault::Double { triangles: doubles });
    }
    faults::edges(&soup, &mut found);
    let turned = winding::turn(&soup.points_mm, &mut soup.triangles);
    faults::windings(turned, soup.triangles.len(), &mut found);
    if collapsed + slivers > 0 {
        found.push(MeshFault::NoArea { collapsed, slivers });
    }
    faults::shells_and_size(&soup, reading.unit, &mut found);
    let corners = soup.points_mm.len() as u32;
    let mut coarser = None;
    if soup.triangles.len() > limits.keep.max(100) as usize {
        let (coarse, done) = coarsen(&soup, limits.keep)?;
        (soup, coarser) = (coarse, Some(done));
    }
    let mesh = smooth(&soup, reading.crease_deg)?;
    Ok(Import { mesh, faults: found, coarser, triangles: triangles as u32, corners })
}

#[cfg(test)]
#[path = "import_tests.rs"]
pub(crate) mod tests;
