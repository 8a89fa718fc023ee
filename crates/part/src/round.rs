//! Meshes of shapes that are turned about an axis: disc, ring, tube, wire, dome, sphere, bowl.

use crate::error::MeshError;
use crate::fineness::{Builder, Corner, Fineness, Kind};
use crate::mesh::{Chart, Mesh};
use crate::shape::{Hollow, cap_radius_mm};
use std::f64::consts::PI;

/// A place of an outline: distance from the axis, height, the normal there, and the length up to it, mm.
#[derive(Debug, Clone, Copy)]
struct Stop {
    r: f64,
    z: f64,
    normal: [f64; 2],
    v: f64,
}

/// A body that is being turned.
struct Lathe {
    builder: Builder,
    fineness: Fineness,
    /// Cosine and sine of each direction; the last is the first, bit by bit.
    around: Vec<[f64; 2]>,
}

impl Lathe {
    /// All outlines share the directions, chosen for the largest radius; `share` of the chord error is theirs.
    fn new(fineness: Fineness, radius_mm: f64, share: f64) -> Result<Self, MeshError> {
        let count = fineness.arc(radius_mm, 2.0 * PI, share)?;
        let mut around: Vec<[f64; 2]> = (0..count)
            .map(|i| {
                let (sin, cos) = libm::sincos(2.0 * PI * f64::from(i) / f64::from(count));
                [cos, sin]
            })
            .collect();
        around.push([1.0, 0.0]);
        Ok(Self { builder: Builder::new(fineness), fineness, around })
    }

    fn patch(&mut self, kind: Kind, outline: &[Stop]) -> Result<(), MeshError> {
        let Self { builder, around, .. } = self;
        let across = around.len() as u32 - 1;
        builder.patch(kind);
        builder.grid(across, outline.len() as u32 - 1, |i, j| {
            let ([cos, sin], stop) = (around[i as usize], outline[j as usize]);
            let at = [stop.r * cos, stop.r * sin, stop.z];
            let uv = match kind.chart {
                Chart::Plane => [at[0], at[1]],
                _ => [f64::from(i) / f64::from(across), stop.v],
            };
            Corner { at, normal: [stop.normal[0] * cos, stop.normal[0] * sin, stop.normal[1]], uv }
        })
    }

    /// An upright side from the height 0 up, that looks outward or inward.
    fn side(&mut self, kind: Kind, radius_mm: f64, length_mm: f64, outward: f64) -> Result<(), MeshError> {
        let pieces = self.fineness.straight(length_mm)?;
        let z = |i: u32| if i == pieces { length_mm } else { length_mm * f64::from(i) / f64::from(pieces) };
        let stop = |i: u32| Stop { r: radius_mm, z: z(i), normal: [outward, 0.0], v: z(i) };
        self.patch(kind, &(0..=pieces).map(stop).collect::<Vec<_>>())
    }

    /// A level end between two radii that looks up or down.
    fn end(&mut self, kind: Kind, [inner, outer]: [f64; 2], height_mm: f64, up: f64) -> Result<(), MeshError> {
        let pieces = self.fineness.straight(outer - inner)?;
        let share = |i: u32| f64::from(i) / f64::from(pieces);
        let r = |i: u32| if i == pieces { outer } else { inner + (outer - inner) * share(i) };
        let stop = |i: u32| Stop { r: r(i), z: height_mm, normal: [0.0, up], v: r(i) };
        self.patch(kind, &(0..=pieces).map(stop).collect::<Vec<_>>())
    }

    /// A cap of a sphere from its pole to its rim, which looks away from the centre (`outward` 1) or to it (-1); its
    /// pole is above (`up` 1) or below (-1). The rim is given, so that it keeps its bits.
    fn cap(&mut self, kind: Kind, cap: Cap, outward: f64) -> Result<(), MeshError> {
        let Cap { radius, pole_z, rim, up } = cap;
        let centre_z = pole_z - up * radius;
        let opening = libm::atan2(rim[0], up * (rim[1] - centre_z));
        let pieces = self.fineness.arc(radius, opening, 0.5)?;
        let stop = |i: u32| {
            let angle = opening * f64::from(i) / f64::from(pieces);
            let (sin, cos) = libm::sincos(angle);
            let [r, z] = match i {
                0 => [0.0, pole_z],
                i if i == pieces => rim,
                _ => [radius * sin, centre_z + up * radius * cos],
            };
            Stop { r, z, normal: [outward * sin, outward * up * cos], v: radius * angle }
        };
        self.patch(kind, &(0..=pieces).map(stop).collect::<Vec<_>>())
    }
}

/// A cap of a sphere.
#[derive(Debug, Clone, Copy)]
struct Cap {
    radius: f64,
    pole_z: f64,
    /// Distance from the axis and height.
    rim: [f64; 2],
    up: f64,
}

fn turned(name: &'static str) -> Kind {
    Kind::face(name, Chart::Turned)
}

pub(crate) fn disc(fineness: Fineness, diameter_mm: f64, thickness_mm: f64) -> Result<Mesh, MeshError> {
    let r = 0.5 * diameter_mm;
    let mut lathe = Lathe::new(fineness, r, 1.0)?;
    lathe.end(Kind::face("front", Chart::Plane), [0.0, r], thickness_mm, 1.0)?;
    lathe.end(Kind::face("back", Chart::Plane), [0.0, r], 0.0, -1.0)?;
    lathe.side(Kind::edge("edge", Chart::Turned), r, thickness_mm, 1.0)?;
    lathe.builder.done()
}

/// A tube whose bore is a hollow side; `counted`: whether that counts.
pub(crate) fn tube(fineness: Fineness, [outer, inner, length]: [f64; 3], counted: bool) -> Result<Mesh, MeshError> {
    pipe(fineness, [outer, inner, length], Kind::hollow("bore", counted))
}

/// A ring, whose inside is looked at as its outside is.
pub(crate) fn ring(fineness: Fineness, sizes: [f64; 3]) -> Result<Mesh, MeshError> {
    pipe(fineness, sizes, turned("inside"))
}

fn pipe(fineness: Fineness, [outer, inner, length]: [f64; 3], inside: Kind) -> Result<Mesh, MeshError> {
    let radii = [0.5 * inner, 0.5 * outer];
    let mut lathe = Lathe::new(fineness, radii[1], 1.0)?;
    lathe.side(turned("outside"), radii[1], length, 1.0)?;
    lathe.side(inside, radii[0], length, -1.0)?;
    lathe.end(Kind::edge("upper end", Chart::Plane), radii, length, 1.0)?;
    lathe.end(Kind::edge("lower end", Chart::Plane), radii, 0.0, -1.0)?;
    lathe.builder.done()
}

pub(crate) fn wire(fineness: Fineness, diameter_mm: f64, length_mm: f64) -> Result<Mesh, MeshError> {
    let r = 0.5 * diameter_mm;
    let mut lathe = Lathe::new(fineness, r, 1.0)?;
    lathe.side(turned("side"), r, length_mm, 1.0)?;
    lathe.end(Kind::edge("upper end", Chart::Plane), [0.0, r], length_mm, 1.0)?;
    lathe.end(Kind::edge("lower end", Chart::Plane), [0.0, r], 0.0, -1.0)?;
    lathe.builder.done()
}

/// Two sides at the same place, back to back.
pub(crate) fn dome(fineness: Fineness, [diameter, height]: [f64; 2], counted: bool) -> Result<Mesh, MeshError> {
    let a = 0.5 * diameter;
    let radius = cap_radius_mm(a, height);
    let cap = Cap { radius, pole_z: height, rim: [a, 0.0], up: 1.0 };
    let mut lathe = Lathe::new(fineness, widest(a, height, radius), 0.5)?;
    lathe.cap(turned("outside"), cap, 1.0)?;
    lathe.cap(Kind::hollow("hollow side", counted), cap, -1.0)?;
    lathe.builder.done()
}

pub(crate) fn sphere(fineness: Fineness, diameter_mm: f64) -> Result<Mesh, MeshError> {
    let r = 0.5 * diameter_mm;
    let mut lathe = Lathe::new(fineness, r, 0.5)?;
    lathe.cap(turned("ball"), Cap { radius: r, pole_z: diameter_mm, rim: [0.0, 0.0], up: 1.0 }, 1.0)?;
    lathe.builder.done()
}

pub(crate) fn bowl(
    fineness: Fineness,
    [diameter, height, wall]: [f64; 3],
    bowl: Hollow,
    counted: bool,
) -> Result<Mesh, MeshError> {
    let a = 0.5 * diameter;
    let outer = Cap { radius: bowl.outer_mm, pole_z: 0.0, rim: [a, height], up: -1.0 };
    let inner = Cap { radius: bowl.inner_mm, pole_z: wall, rim: [bowl.mouth_mm, height], up: -1.0 };
    let mut lathe = Lathe::new(fineness, widest(a, height, bowl.outer_mm), 0.5)?;
    lathe.cap(turned("outside"), outer, 1.0)?;
    lathe.cap(Kind::hollow("inside", counted), inner, -1.0)?;
    lathe.end(Kind::edge("rim", Chart::Plane), [bowl.mouth_mm, a], height, 1.0)?;
    lathe.builder.done()
}

/// A cap is widest at its rim, or, where it is more than half a sphere, at the sphere's middle.
fn widest(rim: f64, height: f64, radius: f64) -> f64 {
    if height > radius { radius } else { rim }
}
