//! Areas and volumes of shapes against integration and unfolding.
#![allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]

use super::*;

/// Area of a surface of revolution: 2 pi times the integral of r ds along the outline, by very many short cones.
/// It shares no formula with the shapes: the outline is a list of points.
fn turned(outline: impl Fn(f64) -> (f64, f64)) -> f64 {
    const STEPS: u32 = 200_000;
    let at = |i: u32| outline(f64::from(i) / f64::from(STEPS));
    (0..STEPS)
        .map(|i| {
            let ((r0, z0), (r1, z1)) = (at(i), at(i + 1));
            PI * (r0 + r1) * (r1 - r0).hypot(z1 - z0)
        })
        .sum()
}

fn line(from: (f64, f64), to: (f64, f64)) -> f64 {
    turned(|s| (from.0 + s * (to.0 - from.0), from.1 + s * (to.1 - from.1)))
}

fn close(ours: f64, other: f64) {
    assert!((ours / other - 1.0).abs() < 1e-9, "{ours} against {other}");
}

#[test]
fn turned_shapes_agree_with_integration() {
    let total = |shape: Shape| shape.area().unwrap().total_mm2();
    let disc = 2.0 * line((0.0, 0.0), (29.0, 0.0)) + line((29.0, 0.0), (29.0, 1.2));
    close(total(Shape::Disc { diameter_mm: 58.0, thickness_mm: 1.2 }), disc);
    let band = line((10.5, 0.0), (10.5, 6.0)) + line((9.0, 0.0), (9.0, 6.0)) + 2.0 * line((9.0, 0.0), (10.5, 0.0));
    close(total(Shape::Ring { outer_mm: 21.0, inner_mm: 18.0, width_mm: 6.0 }), band);
    close(total(Shape::Tube { outer_mm: 21.0, inner_mm: 18.0, length_mm: 6.0, faces: Faces::Both }), band);
    let outside = band - line((9.0, 0.0), (9.0, 6.0));
    close(total(Shape::Tube { outer_mm: 21.0, inner_mm: 18.0, length_mm: 6.0, faces: Faces::Outer }), outside);
    let wire = line((0.4, 0.0), (0.4, 300.0)) + 2.0 * line((0.0, 0.0), (0.4, 0.0));
    close(total(Shape::Wire { diameter_mm: 0.8, length_mm: 300.0 }), wire);
    let ball = turned(|s| (6.0 * (PI * s).sin(), 6.0 * (PI * s).cos()));
    close(total(Shape::Sphere { diameter_mm: 12.0 }), ball);
}

/// The cap, flat, half round and more than half round, as an arc that is turned about its axis.
#[test]
fn domes_agree_with_integration() {
    for (diameter_mm, height_mm) in [(58.0, 2.0), (58.0, 18.0), (58.0, 29.0), (20.0, 30.0)] {
        let a: f64 = diameter_mm / 2.0;
        let radius = (a * a + height_mm * height_mm) / (2.0 * height_mm);
        let opening = ((radius - height_mm) / radius).acos();
        let arc = turned(|s| (radius * (opening * s).sin(), radius * (opening * s).cos()));
        close(Shape::Dome { diameter_mm, height_mm, faces: Faces::Outer }.area().unwrap().faces_mm2, arc);
        close(Shape::Dome { diameter_mm, height_mm, faces: Faces::Both }.area().unwrap().faces_mm2, 2.0 * arc);
    }
}

/// Archimedes, On the Sphere and Cylinder I: a half sphere has half the sphere's area.
#[test]
fn two_half_spheres_are_a_sphere() {
    let half = Shape::Dome { diameter_mm: 40.0, height_mm: 20.0, faces: Faces::Both }.area().unwrap();
    close(half.total_mm2(), Shape::Sphere { diameter_mm: 40.0 }.area().unwrap().total_mm2());
}

/// Unfolded: the faces of a block, one by one.
#[test]
fn sheets_and_blocks_are_six_rectangles() {
    let block = Shape::Block { length_mm: 50.0, width_mm: 20.0, height_mm: 0.5 }.area().unwrap();
    let sheet = Shape::Sheet { length_mm: 50.0, width_mm: 20.0, thickness_mm: 0.5 }.area().unwrap();
    let rectangles = [1000.0, 1000.0, 25.0, 25.0, 10.0, 10.0];
    close(block.total_mm2(), rectangles.iter().sum());
    close(sheet.total_mm2(), rectangles.iter().sum());
    close(sheet.edges_mm2, 70.0);
}

#[test]
fn what_cannot_be_is_refused() {
    let sphere = |diameter_mm: f64| Shape::Sphere { diameter_mm }.area();
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(sphere(bad), Err(ShapeError::NotPositive { .. })));
    }
    let bored = Shape::Ring { outer_mm: 18.0, inner_mm: 18.0, width_mm: 2.0 }.area();
    assert!(matches!(bored, Err(ShapeError::Bore { .. })));
}

/// Pappus: the volume of a body of revolution is pi times the integral of r^2 dz, by very many slices.
fn filled(outline: impl Fn(f64) -> (f64, f64)) -> f64 {
    const STEPS: u32 = 200_000;
    let at = |i: u32| outline(f64::from(i) / f64::from(STEPS));
    (0..STEPS)
        .map(|i| {
            let ((r0, z0), (r1, z1)) = (at(i), at(i + 1));
            PI * (r0 * r0 + r0 * r1 + r1 * r1) / 3.0 * (z1 - z0)
        })
        .sum()
}

/// Shallow, half round, and closing in above its middle. A wall of 2 mm everywhere: both arcs about one centre.
#[test]
fn bowls_agree_with_integration() {
    for (diameter_mm, height_mm) in [(120.0, 12.0), (120.0, 60.0), (80.0, 70.0)] {
        let wall_mm = 2.0;
        let a: f64 = diameter_mm / 2.0;
        let radius = (a * a + height_mm * height_mm) / (2.0 * height_mm);
        let arc = |r: f64| {
            let opening = ((radius - height_mm) / r).acos();
            move |s: f64| (r * (opening * s).sin(), -r * (opening * s).cos())
        };
        let (outside, inside) = (turned(arc(radius)), turned(arc(radius - wall_mm)));
        let rim = line(arc(radius)(1.0), arc(radius - wall_mm)(1.0));
        let bowl = |faces: Faces| Shape::Bowl { diameter_mm, height_mm, wall_mm, faces };
        close(bowl(Faces::Both).area().unwrap().faces_mm2, outside + inside);
        close(bowl(Faces::Outer).area().unwrap().faces_mm2, outside);
        close(bowl(Faces::Outer).area().unwrap().edges_mm2, rim);
        let metal = filled(arc(radius)) - filled(arc(radius - wall_mm));
        close(bowl(Faces::Both).volume_mm3().unwrap().unwrap(), metal);
    }
}

/// Unfolded: two flats, two bevels, the spine and two five-cornered ends. 3-4-5 triangles make the bevel's slant 5.
#[test]
fn blades_are_unfolded() {
    let blade = |bevel_mm: f64| Shape::Blade { length_mm: 200.0, height_mm: 40.0, thickness_mm: 6.0, bevel_mm };
    let area = blade(4.0).area().unwrap();
    close(area.faces_mm2, 200.0 * 2.0 * (36.0 + 5.0));
    close(area.edges_mm2, 200.0 * 6.0 + 2.0 * (36.0 * 6.0 + 0.5 * 4.0 * 6.0));
    close(blade(4.0).volume_mm3().unwrap().unwrap(), 200.0 * (36.0 * 6.0 + 0.5 * 4.0 * 6.0));
    // Ground all the way up it is a wedge.
    close(blade(40.0).volume_mm3().unwrap().unwrap(), 0.5 * 200.0 * 40.0 * 6.0);
    assert!(matches!(blade(41.0).area(), Err(ShapeError::Bevel { .. })));
}

#[test]
fn turned_shapes_hold_what_integration_says() {
    let volume = |shape: Shape| shape.volume_mm3().unwrap().unwrap();
    let rod = |r: f64, length: f64| filled(move |s| (r, length * s));
    close(volume(Shape::Disc { diameter_mm: 58.0, thickness_mm: 1.2 }), rod(29.0, 1.2));
    close(volume(Shape::Wire { diameter_mm: 0.8, length_mm: 300.0 }), rod(0.4, 300.0));
    let band = rod(10.5, 6.0) - rod(9.0, 6.0);
    close(volume(Shape::Ring { outer_mm: 21.0, inner_mm: 18.0, width_mm: 6.0 }), band);
    close(volume(Shape::Tube { outer_mm: 21.0, inner_mm: 18.0, length_mm: 6.0, faces: Faces::Outer }), band);
    let ball = filled(|s| (6.0 * (PI * s).sin(), -6.0 * (PI * s).cos()));
    close(volume(Shape::Sphere { diameter_mm: 12.0 }), ball);
    close(volume(Shape::Block { length_mm: 2.0, width_mm: 3.0, height_mm: 4.0 }), 24.0);
    close(volume(Shape::Sheet { length_mm: 2.0, width_mm: 3.0, thickness_mm: 4.0 }), 24.0);
    let dome = Shape::Dome { diameter_mm: 58.0, height_mm: 18.0, faces: Faces::Both };
    assert_eq!(dome.volume_mm3().unwrap(), None);
}

#[test]
fn a_bowl_without_a_hollow_is_refused() {
    let bowl = |height_mm: f64, wall_mm: f64| {
        Shape::Bowl { diameter_mm: 100.0, height_mm, wall_mm, faces: Faces::Both }.area()
    };
    assert!(matches!(bowl(20.0, 20.0), Err(ShapeError::Wall { .. })));
    // Closing in: 2 R - h is 25 mm for a height of 100.
    assert!(matches!(bowl(100.0, 25.0), Err(ShapeError::Wall { most_mm, .. }) if (most_mm - 25.0).abs() < 1e-9));
    assert!(bowl(100.0, 24.9).is_ok());
}
