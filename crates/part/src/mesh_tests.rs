//! Meshes of shapes against closed forms, and what every mesh keeps.
#![allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]

use super::*;
use crate::{Faces, Fineness, Rack, Shape};
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// One of each shape, and the ones that are cut differently: closing in, ground all the way up.
pub(crate) fn shapes() -> Vec<Shape> {
    vec![
        Shape::Sheet { length_mm: 50.0, width_mm: 20.0, thickness_mm: 1.2 },
        Shape::Disc { diameter_mm: 58.0, thickness_mm: 1.2 },
        Shape::Ring { outer_mm: 21.0, inner_mm: 18.0, width_mm: 6.0 },
        Shape::Tube { outer_mm: 21.0, inner_mm: 18.0, length_mm: 60.0, faces: Faces::Both },
        Shape::Tube { outer_mm: 21.0, inner_mm: 18.0, length_mm: 60.0, faces: Faces::Outer },
        Shape::Wire { diameter_mm: 0.8, length_mm: 30.0 },
        Shape::Dome { diameter_mm: 58.0, height_mm: 18.0, faces: Faces::Both },
        Shape::Dome { diameter_mm: 58.0, height_mm: 29.0, faces: Faces::Outer },
        Shape::Dome { diameter_mm: 20.0, height_mm: 30.0, faces: Faces::Both },
        Shape::Block { length_mm: 50.0, width_mm: 20.0, height_mm: 10.0 },
        Shape::Sphere { diameter_mm: 12.0 },
        Shape::Blade { length_mm: 200.0, height_mm: 40.0, thickness_mm: 3.0, bevel_mm: 12.0 },
        Shape::Blade { length_mm: 200.0, height_mm: 40.0, thickness_mm: 3.0, bevel_mm: 40.0 },
        Shape::Bowl { diameter_mm: 120.0, height_mm: 40.0, wall_mm: 2.0, faces: Faces::Both },
        Shape::Bowl { diameter_mm: 80.0, height_mm: 70.0, wall_mm: 2.0, faces: Faces::Outer },
    ]
}

pub(crate) fn meshed(shape: Shape, chord_mm: f64) -> Mesh {
    shape.mesh(Fineness::chord(chord_mm).unwrap()).unwrap()
}

fn flat(shape: &Shape) -> bool {
    matches!(shape, Shape::Sheet { .. } | Shape::Block { .. } | Shape::Blade { .. })
}

/// What is lacking of area and volume, mm2 and mm3.
fn lacking(shape: Shape, chord_mm: f64) -> [f64; 2] {
    let mesh = meshed(shape, chord_mm);
    let volume = shape.volume_mm3().unwrap().unwrap_or(0.0);
    [shape.area().unwrap().total_mm2() - mesh.area().total_mm2(), volume - mesh.volume_mm3()]
}

/// A flat shape lacks nothing. Of a round one, of radius r or more, nothing is further than the chord error e from the
/// triangles: what is lacking of the volume is within e times its whole surface (and more than nothing for one that
/// bulges everywhere), and of the area within 2 e/r of it, which is what a ball lacks.
#[test]
fn area_and_volume_lack_what_the_chord_error_allows() {
    for shape in shapes() {
        let area = shape.area().unwrap();
        for chord_mm in [0.1, 0.02] {
            let mesh = meshed(shape, chord_mm);
            let [area_mm2, volume_mm3] = lacking(shape, chord_mm);
            if flat(&shape) {
                assert!(area_mm2.abs() < 1e-9 * area.total_mm2(), "{shape:?}: {area_mm2}");
                assert!(volume_mm3.abs() < 1e-9 * mesh.volume_mm3(), "{shape:?}: {volume_mm3}");
                continue;
            }
            let least_radius = match shape {
                Shape::Wire { diameter_mm, .. } | Shape::Sphere { diameter_mm } => 0.5 * diameter_mm,
                _ => 9.0,
            };
            let most = 2.0 * chord_mm / least_radius * area.total_mm2();
            assert!(area_mm2 > 0.0 && area_mm2 < most, "{shape:?} at {chord_mm}: {area_mm2} of {most}");
            assert!(volume_mm3.abs() <= chord_mm * mesh.surface_mm2() * 1.01, "{shape:?} at {chord_mm}: {volume_mm3}");
            // Kinds of area are kept apart.
            assert!((mesh.area().edges_mm2 / area.edges_mm2 - 1.0).abs() < 0.2 || area.edges_mm2 == 0.0);
        }
    }
}

/// A quarter of the chord error leaves a quarter lacking. Sides are whole in number, so fine meshes are compared.
#[test]
fn a_quarter_of_the_chord_error_leaves_a_quarter_lacking() {
    for shape in shapes().into_iter().filter(|s| !flat(s)) {
        let chord_mm = if matches!(shape, Shape::Wire { .. }) { 0.001 } else { 0.02 };
        let (coarse, fine) = (lacking(shape, chord_mm), lacking(shape, chord_mm / 4.0));
        for (what, coarse, fine) in [("area", coarse[0], fine[0]), ("volume", coarse[1], fine[1])] {
            if coarse.abs() > 1e-9 {
                assert!((coarse / fine - 4.0).abs() < 0.5, "{shape:?}: {what} lacks {coarse}, then {fine}");
            }
        }
    }
}

/// The formula for a circle of n sides: a tube of n sides has the area of a tube times sin(x)/x with x = pi/n, and the
/// volume times sin(2 x)/(2 x).
#[test]
fn a_wire_is_a_prism_with_as_many_sides_as_its_chord_error_says() {
    let (r, length_mm, chord_mm) = (5.0, 30.0, 0.01);
    let mesh = meshed(Shape::Wire { diameter_mm: 2.0 * r, length_mm }, chord_mm);
    let n = (PI / (1.0 - chord_mm / r).acos()).ceil();
    let side = mesh.patch_mm2(&mesh.patches()[0]);
    assert!((side / (2.0 * n * r * (PI / n).sin() * length_mm) - 1.0).abs() < 1e-12);
    let volume = 0.5 * n * r * r * (2.0 * PI / n).sin() * length_mm;
    assert!((mesh.volume_mm3() / volume - 1.0).abs() < 1e-12);
}

/// Points all over every triangle lie on the true surface, or under it by no more than the chord error.
#[test]
fn no_point_is_further_from_the_surface_than_said() {
    let inside = [[0.0, 0.5, 0.5], [0.5, 0.0, 0.5], [0.5, 0.5, 0.0], [1.0 / 3.0; 3], [0.2, 0.3, 0.5]];
    for chord_mm in [0.5, 0.05] {
        let ball = (Shape::Sphere { diameter_mm: 12.0 }, [0.0, 0.0, 6.0], 6.0);
        let dome = (Shape::Dome { diameter_mm: 58.0, height_mm: 29.0, faces: Faces::Outer }, [0.0; 3], 29.0);
        for (shape, centre, radius) in [ball, dome] {
            let mesh = meshed(shape, chord_mm);
            for triangle in 0..mesh.triangles().len() as u32 {
                let [a, b, c] = mesh.corners_mm(triangle);
                for [u, v, w] in inside {
                    let at = plus(plus(times(a, u), times(b, v)), times(c, w));
                    let under = radius - length(minus(at, centre));
                    assert!(under > -1e-9 && under < chord_mm, "{shape:?}: {under} under at {chord_mm}");
                }
            }
        }
    }
}

/// Each edge of a closed body is passed once each way, after corners at the same place are taken as one.
#[test]
fn bodies_are_closed_and_thin_ones_have_one_rim() {
    let edges = |mesh: &Mesh, patch: Option<usize>| {
        let mut ways: BTreeMap<[[u64; 3]; 2], i32> = BTreeMap::new();
        let taken = patch.map_or(0..mesh.triangles().len(), |p| {
            let patch = &mesh.patches()[p];
            patch.first as usize..(patch.first + patch.count) as usize
        });
        for named in &mesh.triangles()[taken] {
            let bits = named.map(|c| mesh.points_mm()[c as usize].map(|x| (x + 0.0).to_bits()));
            for i in 0..3 {
                let (a, b) = (bits[i], bits[(i + 1) % 3]);
                *ways.entry([a, b]).or_default() += 1;
            }
        }
        assert!(ways.values().all(|count| *count == 1), "an edge is passed twice the same way");
        ways.keys().filter(|[a, b]| !ways.contains_key(&[*b, *a])).count()
    };
    for shape in shapes() {
        for fineness in [Fineness::chord(0.1).unwrap(), Fineness::chord(0.5).unwrap().longest(3.0).unwrap()] {
            let mesh = shape.mesh(fineness).unwrap();
            if matches!(shape, Shape::Dome { .. }) {
                let rim = edges(&mesh, Some(0));
                assert!(rim >= 12 && rim == edges(&mesh, Some(1)), "{shape:?}");
            } else {
                assert_eq!(edges(&mesh, None), 0, "{shape:?}");
            }
        }
    }
}

#[test]
fn normals_look_outward_and_have_length_one() {
    for shape in shapes() {
        let mesh = meshed(shape, 0.05);
        for named in mesh.triangles() {
            let face = unit(doubled(named.map(|c| mesh.points_mm()[c as usize]))).unwrap();
            for corner in named {
                let normal = mesh.normals()[*corner as usize];
                assert!((length(normal) - 1.0).abs() < 1e-12);
                assert!(dot(face, normal) > 0.8, "{shape:?}: {face:?} and {normal:?}");
            }
        }
    }
    // The normal of a ball is the direction from its centre.
    let ball = meshed(Shape::Sphere { diameter_mm: 12.0 }, 0.05);
    for (at, normal) in ball.points_mm().iter().zip(ball.normals()) {
        assert!(length(minus(times(minus(*at, [0.0, 0.0, 6.0]), 1.0 / 6.0), *normal)) < 1e-12);
    }
}

/// On a plane, or what is unrolled into one, triangles are as large in (u, v) as on the part; on what is turned, u is
/// the share of a turn, and v runs along the outline.
#[test]
fn surface_coordinates_are_what_their_chart_says() {
    for shape in shapes() {
        let mesh = shape.mesh(Fineness::chord(0.1).unwrap().longest(5.0).unwrap()).unwrap();
        for patch in mesh.patches() {
            let mut most = [0.0_f64; 2];
            for triangle in patch.first..patch.first + patch.count {
                let uv = mesh.triangles()[triangle as usize].map(|c| mesh.uv()[c as usize]);
                uv.iter().for_each(|[u, v]| most = [most[0].max(*u), most[1].max(*v)]);
                let [a, b, c] = uv.map(|[u, v]| [u, v, 0.0]);
                let unrolled = 0.5 * length(doubled([a, b, c]));
                match patch.chart {
                    Chart::Plane => {
                        assert!((unrolled - mesh.triangle_mm2(triangle)).abs() < 1e-9, "{shape:?} {}", patch.name);
                    }
                    Chart::Turned => {
                        let corners = mesh.corners_mm(triangle);
                        for i in 0..3 {
                            let (at, [u, _]) = (corners[i], uv[i]);
                            let r = at[0].hypot(at[1]);
                            let there = [r * (2.0 * PI * u).cos(), r * (2.0 * PI * u).sin(), at[2]];
                            assert!(length(minus(there, at)) < 1e-9);
                        }
                    }
                    Chart::None => panic!("{shape:?} {}: no chart", patch.name),
                }
            }
            if patch.chart == Chart::Turned {
                assert!((most[0] - 1.0).abs() < 1e-12);
                if matches!(shape, Shape::Sphere { .. }) {
                    assert!((most[1] - 6.0 * PI).abs() < 1e-9);
                }
            }
        }
    }
    // The edge of a sheet is one strip as long as its outline.
    let sheet = meshed(Shape::Sheet { length_mm: 50.0, width_mm: 20.0, thickness_mm: 1.2 }, 0.1);
    let edge = sheet.patches().iter().find(|p| p.side == Side::Edge).unwrap();
    let taken = &sheet.triangles()[edge.first as usize..(edge.first + edge.count) as usize];
    let most = taken.iter().flatten().map(|c| sheet.uv()[*c as usize][0]).fold(0.0, f64::max);
    assert!((most - 140.0).abs() < 1e-12);
}

#[test]
fn no_side_is_longer_than_asked() {
    for shape in shapes() {
        let mesh = shape.mesh(Fineness::chord(1.0).unwrap().longest(4.0).unwrap()).unwrap();
        for triangle in 0..mesh.triangles().len() as u32 {
            let [a, b, c] = mesh.corners_mm(triangle);
            let mut sides = [length(minus(b, a)), length(minus(c, b)), length(minus(a, c))];
            sides.sort_by(f64::total_cmp);
            assert!(sides[1] <= 4.0 + 1e-9 && sides[2] <= 4.0 * 2.0_f64.sqrt() + 1e-9, "{shape:?}: {sides:?}");
        }
    }
}

#[test]
fn centre_and_box_are_where_they_should_be() {
    let close = |a: Vec3, b: Vec3| assert!(length(minus(a, b)) < 1e-9, "{a:?} against {b:?}");
    let mesh = meshed(Shape::Block { length_mm: 50.0, width_mm: 20.0, height_mm: 10.0 }, 1.0);
    close(mesh.centre_mm(), [0.0, 0.0, 5.0]);
    close(mesh.box_mm()[0], [-25.0, -10.0, 0.0]);
    close(mesh.box_mm()[1], [25.0, 10.0, 10.0]);
    // Archimedes: the surface of a half ball has its centre at half its height, but for what the triangles cut off.
    let dome = meshed(Shape::Dome { diameter_mm: 58.0, height_mm: 29.0, faces: Faces::Both }, 0.005);
    assert!((dome.centre_mm()[2] - 14.5).abs() < 0.01 && dome.centre_mm()[0].abs() < 1e-9);
    let moved = mesh.moved([1.0, 2.0, 3.0]).unwrap();
    close(moved.centre_mm(), [1.0, 2.0, 8.0]);
    assert!((moved.volume_mm3() - 10_000.0).abs() < 1e-6);
    // A quarter turn about z takes x to y.
    let turned = mesh.turned([0.0, 0.0, 2.0], 90.0).unwrap();
    close(turned.box_mm()[1], [10.0, 25.0, 10.0]);
    assert!((turned.volume_mm3() - 10_000.0).abs() < 1e-6);
    assert!(mesh.turned([0.0; 3], 10.0).is_err() && mesh.turned([1.0, 0.0, 0.0], f64::NAN).is_err());
    assert!(mesh.moved([f64::NAN, 0.0, 0.0]).is_err() && mesh.moved([2e7, 0.0, 0.0]).is_err());
}

#[test]
fn values_are_held_at_corners() {
    let mesh = meshed(Shape::Sheet { length_mm: 50.0, width_mm: 20.0, thickness_mm: 1.0 }, 0.1);
    // A value that is linear in place is exact anywhere.
    let values: Vec<f64> = mesh.points_mm().iter().map(|p| 3.0 * p[0] - p[1] + 1.0).collect();
    let shares = [0.2, 0.3, 0.5];
    for triangle in 0..mesh.triangles().len() as u32 {
        let [a, b, c] = mesh.corners_mm(triangle);
        let at = plus(plus(times(a, shares[0]), times(b, shares[1])), times(c, shares[2]));
        let value = mesh.between(triangle, shares, &values).unwrap();
        assert!((value - (3.0 * at[0] - at[1] + 1.0)).abs() < 1e-9);
    }
    assert_eq!(mesh.between(9999, shares, &values), None);
    assert_eq!(mesh.between(0, shares, &[]), None);
    assert_eq!(mesh.uv_at(9999, shares), None);
    assert_eq!(mesh.patch_of(0).unwrap().name, "front");
    assert_eq!(mesh.patch_of(2).unwrap().name, "back");
    assert_eq!(mesh.patch_of(9999), None);
}

#[test]
fn a_rack_is_so_many_parts() {
    let one = meshed(Shape::Dome { diameter_mm: 58.0, height_mm: 18.0, faces: Faces::Outer }, 0.05);
    let rack = Rack { count: 7, per_row: 3, along_mm: [70.0, 0.0, 0.0], rows_mm: [0.0, 0.0, -30.0] };
    let racked = rack.mesh(&one).unwrap();
    assert!((racked.mesh.area().total_mm2() / one.area().total_mm2() - 7.0).abs() < 1e-9);
    let [low, high] = racked.mesh.box_mm();
    assert!((high[0] - low[0] - (140.0 + 58.0)).abs() < 1e-9 && (high[2] - low[2] - (60.0 + 18.0)).abs() < 1e-9);
    assert!(length(minus(rack.place_mm(5), [140.0, 0.0, -30.0])) < 1e-9);
    assert_eq!(racked.piece_of(0), 0);
    assert_eq!(racked.piece_of(racked.mesh.triangles().len() as u32 - 1), 6);
    assert_eq!(racked.mesh.patch_of(racked.each).unwrap().name, "outside");
    assert!((rack.gap_mm(&one).unwrap() - 12.0).abs() < 1e-9);
    let tight = Rack { rows_mm: [0.0, 0.0, -10.0], ..rack };
    assert!((tight.gap_mm(&one).unwrap() + 8.0).abs() < 1e-9);
    assert_eq!(Rack { count: 1, ..rack }.gap_mm(&one), None);
    for bad in [
        Rack { count: 0, ..rack },
        Rack { per_row: 0, ..rack },
        Rack { along_mm: [0.0; 3], ..rack },
        Rack { rows_mm: [f64::NAN, 0.0, 0.0], ..rack },
        Rack { count: u32::MAX, ..rack },
    ] {
        assert!(bad.mesh(&one).is_err(), "{bad:?}");
    }
}

#[test]
fn what_cannot_be_is_refused() {
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(Fineness::chord(bad).is_err());
        assert!(Fineness::chord(1.0).unwrap().longest(bad).is_err());
    }
    let fine = Fineness::chord(1e-9).unwrap();
    let refused = Shape::Sphere { diameter_mm: 58.0 }.mesh(fine).unwrap_err();
    assert!(matches!(refused, MeshError::TooFine { .. }), "{refused}");
    let endless = Fineness::chord(0.1).unwrap().longest(1e-300).unwrap();
    assert!(Shape::Block { length_mm: 5.0, width_mm: 5.0, height_mm: 5.0 }.mesh(endless).is_err());
    let huge = Shape::Block { length_mm: 1e200, width_mm: 5.0, height_mm: 5.0 }.mesh(Fineness::chord(0.1).unwrap());
    assert!(matches!(huge, Err(MeshError::Far { .. })));
    assert!(matches!(Shape::Sphere { diameter_mm: -1.0 }.mesh(fine), Err(MeshError::Shape(_))));
    let parts = || MeshParts {
        points_mm: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]],
        normals: vec![[0.0; 3]; 3],
        triangles: vec![[0, 1, 2]],
        ..MeshParts::default()
    };
    // Normals that say nothing are those of the triangle.
    assert!(length(minus(Mesh::new(parts()).unwrap().normals()[2], [0.0, 0.0, 1.0])) < 1e-12);
    let patch = |first, count| Patch { name: "p", side: Side::Face, chart: Chart::None, counted: true, first, count };
    for bad in [
        MeshParts { triangles: vec![[0, 1, 3]], ..parts() },
        MeshParts { triangles: vec![], ..parts() },
        MeshParts { normals: vec![], ..parts() },
        MeshParts { uv: vec![[0.0; 2]], ..parts() },
        MeshParts { uv: vec![[f64::NAN; 2]; 3], ..parts() },
        MeshParts { points_mm: vec![[f64::NAN; 3]; 3], ..parts() },
        MeshParts { points_mm: vec![], ..parts() },
        MeshParts { chord_mm: -1.0, ..parts() },
        MeshParts { patches: vec![patch(0, 2)], ..parts() },
        MeshParts { patches: vec![patch(0, u32::MAX)], ..parts() },
        MeshParts { patches: vec![patch(1, 0)], ..parts() },
        MeshParts { patches: vec![patch(0, 0)], ..parts() },
    ] {
        assert!(Mesh::new(bad.clone()).is_err(), "{bad:?}");
    }
}
