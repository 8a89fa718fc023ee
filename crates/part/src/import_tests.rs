//! Files that are read: round trips, and every fault in a mesh that was broken on purpose.
#![allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]

use super::*;
use crate::mesh::tests::{meshed, shapes};
use crate::vector::{Vec3, dot, doubled, length, minus, plus, times, unit};
use crate::{Faces, Fineness, Shape, Unit};

/// Tiny writers, which share nothing with the readers.
pub(crate) fn corners_of(mesh: &Mesh) -> Vec<[Vec3; 3]> {
    (0..mesh.triangles().len() as u32).map(|t| mesh.corners_mm(t)).collect()
}

pub(crate) fn binary_stl(triangles: &[[Vec3; 3]]) -> Vec<u8> {
    let mut bytes = vec![b' '; 80];
    bytes.extend((triangles.len() as u32).to_le_bytes());
    for corners in triangles {
        bytes.extend([0; 12]);
        corners.iter().flatten().for_each(|x| bytes.extend((*x as f32).to_le_bytes()));
        bytes.extend([0; 2]);
    }
    bytes
}

pub(crate) fn text_stl(triangles: &[[Vec3; 3]]) -> String {
    let mut text = String::from("solid invented\r\n");
    for corners in triangles {
        text += "  facet normal 0 0 0\r\n    outer loop\r\n";
        corners.iter().for_each(|[x, y, z]| text += &format!("      vertex {x:e} {y} {z:+}\r\n"));
        text += "    endloop\r\n  endfacet\r\n";
    }
    text + "endsolid invented\r\n"
}

/// Every other face counts backwards.
pub(crate) fn obj(mesh: &Mesh) -> String {
    let mut text = String::from("# invented\no bell\n");
    mesh.points_mm().iter().for_each(|[x, y, z]| text += &format!("v {x} {y} {z}\nvt 0 0\n"));
    let count = mesh.points_mm().len() as i64;
    for (i, [a, b, c]) in mesh.triangles().iter().map(|named| named.map(i64::from)).enumerate() {
        text += &match i % 2 {
            0 => format!("f {}/1/1 {}//2 {}\n", a + 1, b + 1, c + 1),
            _ => format!("f {} {}/-1 {} # backwards\n", a - count, b - count, c - count),
        };
    }
    text
}

pub(crate) fn mm() -> Reading {
    Reading::of(Unit::Millimetre)
}

fn stl(triangles: &[[Vec3; 3]]) -> Import {
    read(Format::Stl, &binary_stl(triangles), &mm()).unwrap()
}

pub(crate) fn box_of(size: Vec3, at: Vec3) -> Vec<[Vec3; 3]> {
    let block = meshed(Shape::Block { length_mm: size[0], width_mm: size[1], height_mm: size[2] }, 1.0);
    corners_of(&block.moved(at).unwrap())
}

#[test]
fn what_is_written_is_read_again() {
    for shape in shapes().into_iter().filter(|s| !matches!(s, Shape::Dome { .. })) {
        let mesh = meshed(shape, 0.2);
        let triangles = corners_of(&mesh);
        for (what, bytes, format, near) in [
            ("binary", binary_stl(&triangles), Format::Stl, 1e-5),
            ("text", text_stl(&triangles).into_bytes(), Format::Stl, 1e-9),
            ("obj", obj(&mesh).into_bytes(), Format::Obj, 1e-9),
        ] {
            let import = read(format, &bytes, &mm()).unwrap();
            assert_eq!(import.faults, [], "{what} {shape:?}");
            assert_eq!(import.triangles as usize, triangles.len());
            assert_eq!(import.mesh.triangles().len(), triangles.len());
            assert!((import.mesh.surface_mm2() / mesh.surface_mm2() - 1.0).abs() < near, "{what} {shape:?}");
            assert!((import.mesh.volume_mm3() / mesh.volume_mm3() - 1.0).abs() < near, "{what} {shape:?}");
            for (t, corners) in triangles.iter().enumerate() {
                let read = import.mesh.corners_mm(t as u32);
                assert!((0..3).all(|i| length(minus(read[i], corners[i])) < 1e-4), "{what} {shape:?}: triangle {t}");
            }
        }
    }
}

#[test]
fn units_are_those_of_the_caller() {
    let triangles = box_of([20.0, 10.0, 5.0], [0.0; 3]);
    for (unit, mm3) in [
        (Unit::Millimetre, 1000.0),
        (Unit::Centimetre, 1e6),
        (Unit::Metre, 1e12),
        (Unit::Inch, 1000.0 * 25.4 * 25.4 * 25.4),
    ] {
        let import = read(Format::Stl, &binary_stl(&triangles), &Reading::of(unit)).unwrap();
        assert!((import.mesh.volume_mm3() / mm3 - 1.0).abs() < 1e-9);
        let odd = import.faults.iter().any(|f| matches!(f, MeshFault::Size { .. }));
        assert_eq!(odd, unit == Unit::Metre, "{unit:?}");
    }
    // A bell drawn in mm and read in m, and one drawn in inches and read in mm.
    let bell = meshed(Shape::Sphere { diameter_mm: 58.0 }, 0.5);
    let import = read(Format::Stl, &binary_stl(&corners_of(&bell)), &Reading::of(Unit::Metre)).unwrap();
    let said = import.faults[0].to_string();
    assert!(said.contains("58 m long, read in m") && said.contains("in mm it would be 58.0 mm"), "{said}");
    let small = meshed(Shape::Sphere { diameter_mm: 58.0 / 25.4 }, 0.05);
    let said = stl(&corners_of(&small)).faults[0].to_string();
    assert!(said.contains("small") && said.contains("in in it would be 58.0 mm"), "{said}");
}

/// A ball read from a file gets the normals of a ball, a box its sharp edges: 8 corners become 24.
#[test]
fn smooth_is_smooth_and_sharp_is_sharp() {
    let ball = stl(&corners_of(&meshed(Shape::Sphere { diameter_mm: 58.0 }, 0.05))).mesh;
    for (at, normal) in ball.points_mm().iter().zip(ball.normals()) {
        let radial = times(minus(*at, [0.0, 0.0, 29.0]), 1.0 / 29.0);
        assert!(length(minus(radial, *normal)) < 0.01, "{radial:?} {normal:?}");
    }
    let block = stl(&box_of([20.0, 10.0, 5.0], [0.0; 3])).mesh;
    assert_eq!(block.points_mm().len(), 24);
    for named in block.triangles() {
        let face = unit(doubled(named.map(|c| block.points_mm()[c as usize]))).unwrap();
        assert!(named.iter().all(|c| dot(block.normals()[*c as usize], face) > 1.0 - 1e-12));
    }
    // All smooth, if asked: 8 corners, whose normals lie between three faces whatever way these are cut.
    let round = Reading { crease_deg: 180.0, ..mm() };
    let block = read(Format::Stl, &binary_stl(&box_of([20.0, 10.0, 5.0], [0.0; 3])), &round).unwrap().mesh;
    assert_eq!(block.points_mm().len(), 8);
    assert!(block.normals().iter().flatten().all(|x| (x.abs() - (1.0_f64 / 3.0).sqrt()).abs() < 1e-12));
}

#[test]
fn holes_are_found_and_measured() {
    let mut triangles = box_of([20.0, 10.0, 5.0], [0.0; 3]);
    // The last two are the top: 20 x 10, at a height of 5.
    triangles.truncate(10);
    let import = stl(&triangles);
    let [MeshFault::Open { holes: 1, edges: 4, length_mm, longest_mm, at_mm }] = import.faults[..] else {
        panic!("{:?}", import.faults)
    };
    assert!((length_mm - 60.0).abs() < 1e-9 && (longest_mm - 60.0).abs() < 1e-9);
    assert!(length(minus(at_mm, [0.0, 0.0, 5.0])) < 1e-9);
    let said = import.faults[0].to_string();
    assert!(said.contains("1 hole, 4 open edges, 60.0 mm in all") && !import.faults[0].mended(), "{said}");
    // One triangle of the front too: another hole.
    triangles.remove(5);
    let import = stl(&triangles);
    assert!(matches!(import.faults[..], [MeshFault::Open { holes: 1 | 2, edges: 5 | 7, .. }]), "{:?}", import.faults);
    // A dome without its hollow side is a sheet with one rim, nearly as long as its circle.
    let dome = meshed(Shape::Dome { diameter_mm: 58.0, height_mm: 18.0, faces: Faces::Outer }, 0.01);
    let outside = &corners_of(&dome)[..dome.patches()[0].count as usize];
    let import = stl(outside);
    let [MeshFault::Open { holes: 1, length_mm, .. }] = import.faults[..] else { panic!("{:?}", import.faults) };
    assert!((length_mm / (58.0 * std::f64::consts::PI) - 1.0).abs() < 1e-3);
}

#[test]
fn flipped_faces_are_found_and_turned() {
    let whole =
        corners_of(&meshed(Shape::Bowl { diameter_mm: 60.0, height_mm: 20.0, wall_mm: 2.0, faces: Faces::Both }, 0.2));
    let volume = stl(&whole).mesh.volume_mm3();
    let mut broken = whole.clone();
    for t in [3, 50, 51, 52, 200] {
        broken[t].swap(0, 1);
    }
    let import = stl(&broken);
    let of = whole.len() as u32;
    assert_eq!(import.faults, [MeshFault::Flipped { triangles: 5, of }]);
    assert!((import.mesh.volume_mm3() / volume - 1.0).abs() < 1e-12 && import.faults[0].mended());
    // The whole of it inside out, and with some the other way.
    broken.iter_mut().for_each(|corners| corners.swap(0, 1));
    let import = stl(&broken);
    assert_eq!(import.faults, [MeshFault::Flipped { triangles: 5, of }, MeshFault::InsideOut { pieces: 1, of: 1 }]);
    assert!((import.mesh.volume_mm3() / volume - 1.0).abs() < 1e-12);
    // An open dome bulges outward.
    let dome = meshed(Shape::Dome { diameter_mm: 58.0, height_mm: 18.0, faces: Faces::Outer }, 0.1);
    let mut outside = corners_of(&dome)[..dome.patches()[0].count as usize].to_vec();
    outside.iter_mut().for_each(|corners| corners.swap(0, 1));
    let import = stl(&outside);
    assert!(import.faults.contains(&MeshFault::InsideOut { pieces: 1, of: 1 }), "{:?}", import.faults);
    assert!(import.mesh.normals().iter().all(|n| n[2] > 0.0));
}

/// A hollow ball has an inner wall that faces inward: that is right. Two balls beside one another, one inside out: not.
#[test]
fn the_wall_of_a_hollow_is_not_turned() {
    let ball = |diameter_mm: f64, at: Vec3, turned: bool| {
        let mesh = meshed(Shape::Sphere { diameter_mm }, 0.2).moved(at).unwrap();
        let mut corners = corners_of(&mesh);
        if turned {
            corners.iter_mut().for_each(|c| c.swap(0, 1));
        }
        corners
    };
    let hollow = [ball(40.0, [0.0; 3], false), ball(30.0, [0.0, 0.0, 5.0], true)].concat();
    let import = stl(&hollow);
    let [MeshFault::Shells { count: 2, largest }] = import.faults[..] else { panic!("{:?}", import.faults) };
    assert!((largest - 0.64).abs() < 0.01, "1600 of 2500: {largest}");
    let beside = [ball(40.0, [0.0; 3], false), ball(30.0, [50.0, 0.0, 0.0], true)].concat();
    let import = stl(&beside);
    assert!(import.faults.contains(&MeshFault::InsideOut { pieces: 1, of: 2 }), "{:?}", import.faults);
    let volume = std::f64::consts::PI / 6.0 * (64_000.0 + 27_000.0);
    assert!((import.mesh.volume_mm3() / volume - 1.0).abs() < 0.05);
}

/// Two boxes that touch along an edge; a face that is there twice; a wall within a box.
#[test]
fn crowded_edges_are_found() {
    let touching = [box_of([10.0; 3], [0.0; 3]), box_of([10.0; 3], [10.0, 10.0, 0.0])].concat();
    let import = stl(&touching);
    let [MeshFault::Crowded { edges: 1, at_mm }] = import.faults[..] else { panic!("{:?}", import.faults) };
    assert!((at_mm[0] - 5.0).abs() < 1e-9 && (at_mm[1] - 5.0).abs() < 1e-9);
    assert!((import.mesh.volume_mm3() - 2000.0).abs() < 1e-6);
    let mut twice = box_of([10.0; 3], [0.0; 3]);
    twice.push(twice[4]);
    let import = stl(&twice);
    assert_eq!(import.faults, [MeshFault::Double { triangles: 1 }]);
    assert!((import.mesh.surface_mm2() - 600.0).abs() < 1e-9);
    // Facing the other way it is the back of a sheet, and stays.
    twice[12].swap(0, 1);
    assert!(matches!(stl(&twice).faults[..], [MeshFault::Crowded { edges: 3, .. }]));
    // A wall from edge to edge, along the diagonals of bottom and top.
    let mut wall = box_of([10.0; 3], [0.0; 3]);
    let at = |x: f64, z: f64| [x, x, z];
    let (a, b, c, d) = (at(-5.0, 0.0), at(5.0, 0.0), at(5.0, 10.0), at(-5.0, 10.0));
    wall.extend([[a, b, c], [a, c, d]]);
    let import = stl(&wall);
    assert!(import.faults.iter().any(|f| matches!(f, MeshFault::Crowded { .. })), "{:?}", import.faults);
    assert!(!import.faults.iter().any(|f| matches!(f, MeshFault::InsideOut { .. })), "{:?}", import.faults);
}

/// A band of ten pieces that is twisted once before its ends meet (A. F. Moebius).
#[test]
fn a_twisted_band_has_no_outside() {
    let place = |i: u32, side: f64| {
        let around = 2.0 * std::f64::consts::PI * f64::from(i) / 40.0;
        let (half, r) = (0.5 * around, 20.0);
        let out = r + side * half.cos();
        [out * around.cos(), out * around.sin(), side * half.sin()]
    };
    let mut band = Vec::new();
    for i in 0..40 {
        // The last meets the first with its sides exchanged: by name, since sines are not so exact.
        let next = |side: f64| if i == 39 { place(0, -side) } else { place(i + 1, side) };
        let (a, b, c, d) = (place(i, -4.0), place(i, 4.0), next(4.0), next(-4.0));
        band.extend([[a, b, c], [a, c, d]]);
    }
    let import = stl(&band);
    let has = |wanted: fn(&MeshFault) -> bool| import.faults.iter().any(wanted);
    assert!(has(|f| matches!(f, MeshFault::Open { holes: 1, edges: 80, .. })), "{:?}", import.faults);
    assert!(has(|f| matches!(f, MeshFault::Twisted { edges: 1, .. })), "{:?}", import.faults);
    assert!(!has(|f| matches!(f, MeshFault::InsideOut { .. })), "{:?}", import.faults);
}

#[test]
fn triangles_without_area_are_found() {
    let mut triangles = box_of([20.0, 10.0, 5.0], [0.0; 3]);
    let [a, b, c] = triangles[0];
    // One of a point, and one that lies in an edge: the file then has an edge with four faces.
    triangles.push([a, a, b]);
    let import = stl(&triangles);
    assert_eq!(import.faults, [MeshFault::NoArea { collapsed: 1, slivers: 0 }]);
    assert!(import.faults[0].mended() && import.mesh.triangles().len() == 12);
    // A corner in the middle of an edge, with a sliver that closes the gap: no hole.
    let middle = times(plus(a, b), 0.5);
    triangles[0] = [a, middle, c];
    triangles.pop();
    triangles.extend([[middle, b, c], [a, b, middle]]);
    let import = stl(&triangles);
    assert_eq!(import.faults, [MeshFault::NoArea { collapsed: 0, slivers: 1 }]);
    assert!((import.mesh.volume_mm3() - 1000.0).abs() < 1e-9);
    assert!(import.mesh.normals().iter().all(|n| (length(*n) - 1.0).abs() < 1e-12));
}

/// Corners that differ by a rounding of 32 bits are one; those that differ by what a part shows are not.
#[test]
fn corners_that_nearly_meet_are_merged() {
    let shaken = |by: f64| {
        let mut wobble = 0.0;
        let mut triangles = box_of([20.0, 10.0, 5.0], [0.0; 3]);
        for x in triangles.iter_mut().flatten().flatten() {
            wobble = (wobble + 0.618) % 1.0;
            *x += by * wobble;
        }
        read(Format::Stl, text_stl(&triangles).as_bytes(), &mm()).unwrap()
    };
    assert_eq!((shaken(1e-6).faults, shaken(1e-6).corners), (vec![], 8));
    let open = shaken(1e-3);
    assert!(matches!(open.faults[..], [MeshFault::Open { .. }, MeshFault::Shells { .. }]), "{:?}", open.faults);
}

fn area_of(read: &Import) -> f64 {
    read.mesh.surface_mm2()
}

/// Polygons: an arrow head, which a fan from its first corner would get wrong, forwards and backwards, on a slant; a
/// star.
#[test]
fn polygons_are_cut_where_they_are_hollow() {
    let faces = |points: &[[f64; 2]], turn: &dyn Fn([f64; 2]) -> Vec3, face: &str| {
        let mut text = String::new();
        points.iter().map(|p| turn(*p)).for_each(|[x, y, z]| text += &format!("v {x} {y} {z}\n"));
        read(Format::Obj, format!("{text}{face}\n").as_bytes(), &mm()).unwrap()
    };
    let slanted = |[x, y]: [f64; 2]| [x, 0.6 * y, 0.8 * y];
    let arrow = [[0.0, 0.0], [10.0, 4.0], [0.0, 8.0], [3.0, 4.0]];
    for face in ["f 1 2 3 4", "f 2 3 4 1", "f 3 4 1 2", "f 4 1 2 3", "f 4 3 2 1", "f -1 -2 -3 -4", "f 1 2 \\\n 3 4"] {
        let import = faces(&arrow, &slanted, face);
        assert!((area_of(&import) - 28.0).abs() < 1e-9, "{face}: {}", area_of(&import));
        assert!(!import.faults.iter().any(|f| matches!(f, MeshFault::Flipped { .. })), "{face}");
    }
    let star: Vec<[f64; 2]> = (0..10)
        .map(|i| {
            let (r, around) = (if i % 2 == 0 { 10.0 } else { 4.0 }, std::f64::consts::PI * f64::from(i) / 5.0);
            [r * around.cos(), r * around.sin()]
        })
        .collect();
    let import = faces(&star, &slanted, "f 1 2 3 4 5 6 7 8 9 10");
    let area = 5.0 * 10.0 * 4.0 * (std::f64::consts::PI / 5.0).sin();
    assert!((area_of(&import) - area).abs() < 1e-9 && import.triangles == 8);
}

#[test]
fn too_many_triangles_are_made_fewer() {
    let ball = corners_of(&meshed(Shape::Sphere { diameter_mm: 58.0 }, 0.02));
    for keep in [8000, 1000, 300] {
        let reading = Reading { limits: Limits { keep, ..Limits::default() }, ..mm() };
        let import = read(Format::Stl, &binary_stl(&ball), &reading).unwrap();
        let done = import.coarser.unwrap();
        let left = import.mesh.triangles().len();
        assert!(left <= keep as usize && left > keep as usize / 2, "{left} of {keep}");
        assert!(done.after as usize == left && done.before as usize == ball.len());
        // No place of the ball is further from what is left than said, and no corner of that is off the ball.
        assert!(done.lost <= 0.0, "{done}");
        for (at, corners) in import.mesh.points_mm().iter().zip(corners_of(&import.mesh)) {
            assert!((length(minus(*at, [0.0, 0.0, 29.0])) - 29.0).abs() < 1e-4);
            let middle = times(plus(plus(corners[0], corners[1]), corners[2]), 1.0 / 3.0);
            let under = 29.0 - length(minus(middle, [0.0, 0.0, 29.0]));
            assert!(under < done.moved_mm, "{under} of {}", done.moved_mm);
        }
        let lacking = 1.0 - import.mesh.surface_mm2() / (std::f64::consts::PI * 58.0 * 58.0);
        assert!((0.0..2.5 * done.moved_mm / 29.0).contains(&lacking), "{lacking}: {done}");
        assert!(import.mesh.volume_mm3() > 0.8 * std::f64::consts::PI / 6.0 * 58.0 * 58.0 * 58.0, "{done}");
    }
    // Both sides of thin metal stay apart: a sheet of 0.5 mm keeps its two faces when cells are far larger.
    let sheet = Shape::Sheet { length_mm: 60.0, width_mm: 40.0, thickness_mm: 0.5 };
    let fine = sheet.mesh(Fineness::chord(0.1).unwrap().longest(0.5).unwrap()).unwrap();
    let reading = Reading { limits: Limits { keep: 500, ..Limits::default() }, ..mm() };
    let import = read(Format::Stl, &binary_stl(&corners_of(&fine)), &reading).unwrap();
    let done = import.coarser.unwrap();
    assert!((done.after_mm2 / done.before_mm2 - 1.0).abs() < 0.15, "{done}");
    assert!(done.to_string().contains("were made"), "{done}");
}

/// Confetti has no surface that could be coarser.
#[test]
fn scattered_triangles_are_refused_kindly() {
    let mut confetti = Vec::new();
    for i in 0..1000 {
        let at = [f64::from(i % 10) * 5.0, f64::from(i / 10 % 10) * 5.0, f64::from(i / 100) * 5.0];
        confetti.push([at, plus(at, [0.1, 0.0, 0.0]), plus(at, [0.0, 0.1, 0.0])]);
    }
    let reading = Reading { limits: Limits { keep: 200, ..Limits::default() }, ..mm() };
    let message = read(Format::Stl, &binary_stl(&confetti), &reading).unwrap_err().to_string();
    assert!(message.contains("1000 triangles") && message.contains("at most 200"), "{message}");
    // The same triangle very often is one.
    let import = read(Format::Stl, &binary_stl(&vec![confetti[0]; 1000]), &reading).unwrap();
    assert!(import.faults.contains(&MeshFault::Double { triangles: 999 }) && import.mesh.triangles().len() == 1);
}
