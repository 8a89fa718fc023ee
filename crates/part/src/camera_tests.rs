//! Views: rays and places in the picture are each other's inverse, and a part fills its picture.
#![allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]

use super::*;
use crate::mesh::tests::{meshed, shapes};
use crate::rays::tests::Chance;
use crate::vector::length;
use crate::{Rays, Shape, Stops};

fn view(lens: Lens) -> View {
    View {
        target_mm: [1.0, 2.0, 3.0],
        from: [3.0, -4.0, 2.0],
        up: [0.0, 0.0, 1.0],
        distance_mm: 200.0,
        lens,
        pixels: [320, 200],
    }
}

const LENSES: [Lens; 2] = [Lens::Parallel { height_mm: 80.0 }, Lens::Perspective { field_deg: 30.0 }];

#[test]
fn rays_go_to_the_place_that_is_seen() {
    let mut chance = Chance(7);
    for lens in LENSES {
        let camera = Camera::new(view(lens)).unwrap();
        for _ in 0..200 {
            let at = plus([1.0, 2.0, 3.0], chance.point(40.0));
            let [x, y] = camera.pixel(at).unwrap();
            let ray = camera.ray(x, y);
            let along = dot(minus(at, ray.from_mm()), ray.direction());
            assert!(along > 0.0 && length(minus(ray.at_mm(along), at)) < 1e-9);
            assert!((length(ray.direction()) - 1.0).abs() < 1e-12);
        }
        // The target is in the middle; a step to the right and up goes right and up.
        let [x, y] = camera.pixel([1.0, 2.0, 3.0]).unwrap();
        assert!((x - 160.0).abs() < 1e-9 && (y - 100.0).abs() < 1e-9);
        let [right, up, towards] = camera.axes();
        assert!(up[2] > 0.0 && right[2].abs() < 1e-12 && dot(towards, [3.0, -4.0, 2.0]) > 0.0);
        let pixel = plus([1.0, 2.0, 3.0], times(plus(right, up), camera.pixel_mm()));
        let [x, y] = camera.pixel(pixel).unwrap();
        assert!((x - 161.0).abs() < 1e-9 && (y - 99.0).abs() < 1e-9, "{x} {y}");
        assert!(camera.pixel(plus([1.0, 2.0, 3.0], times(towards, 201.0))).is_none(), "behind the eye");
    }
}

/// Seen from the front, x goes to the right; what is up is up.
#[test]
fn the_picture_is_not_mirrored() {
    let front = View { from: [0.0, -1.0, 0.0], target_mm: [0.0; 3], ..view(LENSES[0]) };
    let camera = Camera::new(front).unwrap();
    assert!(camera.pixel([10.0, 0.0, 0.0]).unwrap()[0] > 160.0);
    assert!(camera.pixel([0.0, 0.0, 10.0]).unwrap()[1] < 100.0);
}

/// Whatever the shape and the side, all of it is within the margin, and it reaches it on one side at least.
#[test]
fn a_framed_part_fills_its_picture() {
    for shape in shapes() {
        let mesh = meshed(shape, 0.5);
        for lens in LENSES {
            for from in [direction_deg(30.0, 20.0), direction_deg(200.0, -70.0), [0.0, 1.0, 0.0]] {
                let camera = Camera::framing(&mesh, View { from, ..view(lens) }, 0.05).unwrap();
                let mut most = 0.0_f64;
                for at in mesh.points_mm() {
                    let [x, y] = camera.pixel(*at).unwrap();
                    most = most.max((x / 320.0 - 0.5).abs()).max((y / 200.0 - 0.5).abs());
                }
                assert!((most - 0.45).abs() < 1e-6, "{shape:?} {from:?}: {most}");
            }
        }
    }
}

/// In a parallel view a ball of radius r covers pi r^2, in a perspective one a cone of half angle asin(r / distance).
#[test]
fn a_ball_covers_what_it_should() {
    let mesh = meshed(Shape::Sphere { diameter_mm: 60.0 }, 0.02);
    let rays = Rays::new(&mesh);
    for lens in LENSES {
        let camera = Camera::new(View { target_mm: [0.0, 0.0, 30.0], pixels: [120, 100], ..view(lens) }).unwrap();
        let mut met = 0.0;
        for y in 0..100 {
            for x in 0..120 {
                let ray = camera.ray(f64::from(x) + 0.5, f64::from(y) + 0.5);
                met += f64::from(u8::from(rays.nearest(&ray, Stops::Both).is_some()));
            }
        }
        let radius = match lens {
            Lens::Parallel { .. } => 30.0,
            // On the plane through the target: distance times the tangent.
            Lens::Perspective { .. } => 200.0 * (30.0_f64 / 200.0).asin().tan(),
        };
        let pixels = std::f64::consts::PI * (radius / camera.pixel_mm()) * (radius / camera.pixel_mm());
        assert!((met / pixels - 1.0).abs() < 0.01, "{met} pixels, {pixels} expected");
    }
}

#[test]
fn directions_are_as_on_a_globe() {
    let close = |a: Vec3, b: Vec3| assert!(length(minus(a, b)) < 1e-12);
    close(direction_deg(0.0, 0.0), [1.0, 0.0, 0.0]);
    close(direction_deg(90.0, 0.0), [0.0, 1.0, 0.0]);
    close(direction_deg(17.0, 90.0), [0.0, 0.0, 1.0]);
}

#[test]
fn views_of_nothing_are_refused() {
    let good = view(LENSES[0]);
    for bad in [
        View { from: [0.0; 3], ..good },
        View { up: [0.0; 3], ..good },
        View { up: [-3.0, 4.0, -2.0], ..good },
        View { target_mm: [f64::NAN, 0.0, 0.0], ..good },
        View { distance_mm: 0.0, ..good },
        View { pixels: [0, 10], ..good },
        View { pixels: [10, 20_000], ..good },
        View { lens: Lens::Parallel { height_mm: -1.0 }, ..good },
        View { lens: Lens::Perspective { field_deg: 0.0 }, ..good },
        View { lens: Lens::Perspective { field_deg: f64::NAN }, ..good },
        View { lens: Lens::Perspective { field_deg: 180.0 }, ..good },
    ] {
        assert!(Camera::new(bad).is_err(), "{bad:?}");
    }
    let mesh = meshed(Shape::Sphere { diameter_mm: 12.0 }, 0.5);
    assert!(Camera::framing(&mesh, good, 0.5).is_err() && Camera::framing(&mesh, good, f64::NAN).is_err());
    let above = View { from: [0.0, 0.0, 1.0], ..good };
    assert!(Camera::new(above).unwrap_err().to_string().contains("choose up = (0, 1, 0)"));
}
