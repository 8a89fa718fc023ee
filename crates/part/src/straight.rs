//! Meshes of shapes with flat faces: sheet, block, blade.

use crate::error::MeshError;
use crate::fineness::{Builder, Corner, Fineness, Kind};
use crate::mesh::{Chart, Mesh};
use crate::vector::Vec3;

/// Places along one axis, shared by all faces that meet there.
fn steps(fineness: Fineness, [from, to]: [f64; 2]) -> Result<Vec<f64>, MeshError> {
    let pieces = fineness.straight(to - from)?;
    Ok((0..=pieces)
        .map(|i| if i == pieces { to } else { from + (to - from) * f64::from(i) / f64::from(pieces) })
        .collect())
}

pub(crate) fn sheet(fineness: Fineness, sizes: [f64; 3]) -> Result<Mesh, MeshError> {
    Slab::new(fineness, sizes)?.sheet()
}

pub(crate) fn block(fineness: Fineness, sizes: [f64; 3]) -> Result<Mesh, MeshError> {
    Slab::new(fineness, sizes)?.block()
}

/// A block with its places along x, y and z.
struct Slab {
    fineness: Fineness,
    steps: [Vec<f64>; 3],
}

impl Slab {
    fn new(fineness: Fineness, [x, y, z]: [f64; 3]) -> Result<Self, MeshError> {
        let middle = |length: f64| steps(fineness, [-0.5 * length, 0.5 * length]);
        Ok(Self { fineness, steps: [middle(x)?, middle(y)?, steps(fineness, [0.0, z])?] })
    }

    /// The face across `axis`, at its beginning or its end; u and v along the two others, the first of them times
    /// `way` and then moved by `shift`.
    fn side(&self, builder: &mut Builder, axis: usize, end: bool, way: f64, shift: f64) -> Result<(), MeshError> {
        let [first, second] = [[1, 2], [0, 2], [0, 1]][axis];
        let fixed = &self.steps[axis];
        let place = if end { fixed[fixed.len() - 1] } else { fixed[0] };
        let (u, v) = (&self.steps[first], &self.steps[second]);
        let mut normal = [0.0; 3];
        normal[axis] = if end { 1.0 } else { -1.0 };
        builder.grid(u.len() as u32 - 1, v.len() as u32 - 1, |i, j| {
            let (i, j) = (i as usize, j as usize);
            let mut at = [0.0; 3];
            (at[axis], at[first], at[second]) = (place, u[i], v[j]);
            Corner { at, normal, uv: [way * u[i] + shift, v[j]] }
        })
    }

    fn sheet(&self) -> Result<Mesh, MeshError> {
        let mut builder = Builder::new(self.fineness);
        builder.patch(Kind::face("front", Chart::Plane));
        self.side(&mut builder, 2, true, 1.0, 0.0)?;
        builder.patch(Kind::face("back", Chart::Plane));
        self.side(&mut builder, 2, false, 1.0, 0.0)?;
        // The edge as one strip, counter-clockwise from the corner with the least x and y.
        builder.patch(Kind::edge("edge", Chart::Plane));
        let [l, w] = [0, 1].map(|axis: usize| 2.0 * self.steps[axis][self.steps[axis].len() - 1]);
        self.side(&mut builder, 1, false, 1.0, 0.5 * l)?;
        self.side(&mut builder, 0, true, 1.0, l + 0.5 * w)?;
        self.side(&mut builder, 1, true, -1.0, 1.5 * l + w)?;
        self.side(&mut builder, 0, false, -1.0, 2.0 * l + 1.5 * w)?;
        builder.done()
    }

    fn block(&self) -> Result<Mesh, MeshError> {
        let mut builder = Builder::new(self.fineness);
        let sides = [("left", 0, false), ("right", 0, true), ("front", 1, false), ("back", 1, true)];
        for (name, axis, end) in sides.into_iter().chain([("under", 2, false), ("top", 2, true)]) {
            builder.patch(Kind::face(name, Chart::Plane));
            self.side(&mut builder, axis, end, 1.0, 0.0)?;
        }
        builder.done()
    }
}

/// A blade lies flat: heel to tip along x, the edge at the least y, the spine at the greatest.
pub(crate) fn blade(fineness: Fineness, [length, height, thickness, bevel]: [f64; 4]) -> Result<Mesh, MeshError> {
    let x = steps(fineness, [-0.5 * length, 0.5 * length])?;
    let (middle, half) = (0.5 * thickness, 0.5 * thickness);
    let [edge, spine] = [-0.5 * height, 0.5 * height];
    let shoulder = if bevel < height { edge + bevel } else { spine };
    let slant = libm::hypot(bevel, half);
    // From the edge up: height, half the thickness there, and the length along the face.
    let mut ground: Vec<[f64; 3]> = Vec::new();
    let pieces = fineness.straight(slant)?;
    for i in 0..=pieces {
        let share = f64::from(i) / f64::from(pieces);
        ground.push(match i {
            0 => [edge, 0.0, 0.0],
            i if i == pieces => [shoulder, half, slant],
            _ => [edge + bevel * share, half * share, slant * share],
        });
    }
    let flat: Vec<[f64; 3]> = if bevel < height {
        steps(fineness, [shoulder, spine])?.into_iter().map(|y| [y, half, slant + (y - shoulder)]).collect()
    } else {
        Vec::new()
    };
    let along = x.len() as u32 - 1;
    let mut builder = Builder::new(fineness);
    let leaning = [0.0, -half / slant, bevel / slant];
    let faces: [(&'static str, &[[f64; 3]], Vec3, f64); 4] = [
        ("front flat", &flat, [0.0, 0.0, 1.0], 1.0),
        ("back flat", &flat, [0.0, 0.0, -1.0], -1.0),
        ("front bevel", &ground, leaning, 1.0),
        ("back bevel", &ground, [leaning[0], leaning[1], -leaning[2]], -1.0),
    ];
    for (name, rows, normal, up) in faces {
        if rows.is_empty() {
            continue;
        }
        builder.patch(Kind::face(name, Chart::Plane));
        builder.grid(along, rows.len() as u32 - 1, |i, j| {
            let ([y, thick, v], x) = (rows[j as usize], x[i as usize]);
            Corner { at: [x, y, middle + up * thick], normal, uv: [x, v] }
        })?;
    }
    let through = steps(fineness, [-1.0, 1.0].map(|side| side * half))?;
    let across = through.len() as u32 - 1;
    // Across the thickness; the ends of it have the bits of the faces.
    let z = |i: u32, thick: f64| match i {
        0 => middle - thick,
        i if i == across => middle + thick,
        _ => middle + thick * (through[i as usize] / half),
    };
    builder.patch(Kind::edge("spine", Chart::Plane));
    builder.grid(along, across, |i, j| {
        let (x, z) = (x[i as usize], z(j, half));
        Corner { at: [x, spine, z], normal: [0.0, 1.0, 0.0], uv: [x, z] }
    })?;
    for (name, x, out) in [("heel", x[0], -1.0), ("tip", x[along as usize], 1.0)] {
        builder.patch(Kind::edge(name, Chart::Plane));
        for rows in [&ground, &flat] {
            if rows.is_empty() {
                continue;
            }
            builder.grid(across, rows.len() as u32 - 1, |i, j| {
                let [y, thick, _] = rows[j as usize];
                let z = z(i, thick);
                Corner { at: [x, y, z], normal: [out, 0.0, 0.0], uv: [y, z] }
            })?;
        }
    }
    builder.done()
}
