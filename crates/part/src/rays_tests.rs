//! Rays against closed forms, and the tree of boxes against asking every triangle.
#![allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]

use super::*;
use crate::mesh::tests::{meshed, shapes};
use crate::vector::{cross, length};
use crate::{Faces, Fineness, MeshParts, Rack, Shape};

/// Numbers of -1 to 1 that are the same each time (D. E. Knuth's multiplier, the upper bits).
pub(crate) struct Chance(pub u64);

impl Chance {
    pub(crate) fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    pub(crate) fn point(&mut self, size: f64) -> Vec3 {
        [0; 3].map(|_| size * self.next())
    }

    pub(crate) fn direction(&mut self) -> Vec3 {
        loop {
            let v = self.point(1.0);
            if (0.01..1.0).contains(&dot(v, v)) {
                return unit(v).unwrap();
            }
        }
    }
}

fn ray(from: Vec3, to: Vec3) -> Ray {
    Ray::new(from, minus(to, from)).unwrap()
}

#[test]
fn the_tree_meets_what_every_triangle_meets() {
    let mut chance = Chance(6);
    let rack = Rack { count: 5, per_row: 3, along_mm: [15.0, 2.0, 0.0], rows_mm: [0.0, 1.0, -11.0] };
    let ring = meshed(Shape::Ring { outer_mm: 21.0, inner_mm: 18.0, width_mm: 6.0 }, 0.05);
    let mut meshes: Vec<Mesh> = shapes().into_iter().map(|s| meshed(s, 0.3)).collect();
    meshes.push(rack.mesh(&ring).unwrap().mesh);
    for mesh in &meshes {
        let rays = Rays::new(mesh);
        let (centre, size) = (mesh.centre_mm(), mesh.diagonal_mm());
        let mut met = 0;
        for i in 0..300 {
            // From outside and from within, to the surface and past it; some along an axis.
            let from = plus(centre, chance.point(size));
            let aim = (chance.next().abs() * mesh.triangles().len() as f64) as u32;
            let to = plus(mesh.corners_mm(aim)[0], chance.point(0.01 * size));
            let mut one = ray(from, to);
            if i % 10 == 0 {
                one = Ray::new([to[0], to[1], from[2]], [0.0, 0.0, if i % 20 == 0 { 1.0 } else { -1.0 }]).unwrap();
            }
            for stops in [Stops::Both, Stops::Outer] {
                let hit = rays.nearest(&one, stops);
                assert_eq!(hit, rays.nearest_of_all(&one, stops));
                met += u32::from(hit.is_some());
            }
            let all = rays.nearest_of_all(&one, Stops::Both);
            assert_eq!(rays.open(&one), all.is_none());
            let blocked = all.is_some_and(|hit| hit.distance_mm < 0.5 * size);
            assert_eq!(rays.free(one.from_mm(), one.at_mm(0.5 * size)), !blocked);
        }
        assert!(met > 60, "{met} of 600 met");
    }
}

/// A ray from outside meets a ball of radius r at the nearer root of the quadratic, to what the chord error allows at
/// its slant; the smooth normal there is the direction from the centre.
#[test]
fn a_ball_is_met_where_the_quadratic_says() {
    let (r, chord_mm) = (29.0, 0.1);
    let mesh = meshed(Shape::Sphere { diameter_mm: 2.0 * r }, chord_mm);
    let (rays, centre) = (Rays::new(&mesh), [0.0, 0.0, r]);
    let mut chance = Chance(1);
    for _ in 0..200 {
        let from = plus(centre, times(chance.direction(), 80.0));
        let to = plus(centre, times(chance.direction(), 28.0 * chance.next().abs()));
        let one = ray(from, to);
        let out = minus(from, centre);
        let along = dot(out, one.direction());
        let root = (along * along - dot(out, out) + r * r).sqrt();
        let hit = rays.nearest(&one, Stops::Both).unwrap();
        // No triangle lies under the ball that is smaller by the chord error.
        let shrunk = (along * along - dot(out, out) + (r - chord_mm) * (r - chord_mm)).max(0.0).sqrt();
        let late = hit.distance_mm - (-along - root);
        assert!(late > -1e-9 && late < (root - shrunk) + 1e-9, "{late}");
        let radial = unit(minus(hit.at_mm, centre)).unwrap();
        assert!(length(minus(hit.normal, radial)) < 1e-9, "smooth normals of a ball are exact");
        assert!(hit.facing && hit.cosine(one.direction()) > 0.0);
        assert!((length(minus(hit.at_mm, one.at_mm(hit.distance_mm)))) < 1e-9);
    }
}

/// From inside a closed body there is no way out, even through corners and edges; from outside none past a corner.
#[test]
fn no_ray_slips_between_triangles() {
    for shape in [
        Shape::Sphere { diameter_mm: 12.0 },
        Shape::Block { length_mm: 50.0, width_mm: 20.0, height_mm: 10.0 },
        Shape::Wire { diameter_mm: 8.0, length_mm: 30.0 },
        Shape::Blade { length_mm: 20.0, height_mm: 40.0, thickness_mm: 13.0, bevel_mm: 12.0 },
    ] {
        let mesh = shape.mesh(Fineness::chord(0.1).unwrap().longest(5.0).unwrap()).unwrap();
        let (rays, centre) = (Rays::new(&mesh), mesh.centre_mm());
        let mut chance = Chance(2);
        for triangle in 0..mesh.triangles().len() as u32 {
            let [a, b, c] = mesh.corners_mm(triangle);
            for to in [a, times(plus(a, b), 0.5), times(plus(b, c), 0.5), plus(times(a, 0.3), times(c, 0.7))] {
                let from = plus(centre, chance.point(0.5));
                let one = ray(from, to);
                let hit = rays.nearest(&one, Stops::Both).unwrap();
                assert!(!hit.facing && (hit.distance_mm - length(minus(to, from))).abs() < 1e-9);
                assert!(rays.nearest(&one, Stops::Outer).is_none(), "backs are passed");
                let outside = plus(to, times(one.direction(), 100.0));
                let hit = rays.nearest(&ray(outside, from), Stops::Both).unwrap();
                assert!(hit.facing && (hit.distance_mm - 100.0).abs() < 1e-6);
            }
        }
    }
}

/// Lifted by the chord error e, a place on a ball of radius r sees all that is above its horizon, as on the true ball.
/// It looks below it by no more than from e above onto a ball e smaller: the root of 4 e/r, here 0.166.
#[test]
fn a_ball_does_not_shade_what_is_above_the_horizon() {
    let mesh = meshed(Shape::Sphere { diameter_mm: 58.0 }, 0.2);
    let rays = Rays::new(&mesh);
    let mut chance = Chance(3);
    let (mut above, mut below) = (0, 0);
    for _ in 0..500 {
        let from = plus([0.0, 0.0, 29.0], times(chance.direction(), 100.0));
        let hit = rays.nearest(&ray(from, [0.0, 0.0, 29.0]), Stops::Both).unwrap();
        let towards = chance.direction();
        let rise = dot(towards, hit.normal);
        let lifted = hit.lifted_mm(mesh.lift_mm());
        let open = rays.open(&Ray::new(lifted, towards).unwrap());
        if rise >= 0.0 {
            assert!(open, "rise {rise}");
            above += 1;
        } else if rise < -0.17 {
            assert!(!open, "rise {rise}");
            below += 1;
        }
    }
    assert!(above > 200 && below > 150);
}

/// From the bottom of a bowl whose mouth, of radius 50 mm, is 30 mm above one sees out within atan(50/30).
#[test]
fn a_bowl_sees_out_of_its_mouth() {
    let shape = Shape::Bowl { diameter_mm: 104.0, height_mm: 32.0, wall_mm: 2.0, faces: Faces::Both };
    let mesh = meshed(shape, 0.1);
    let rays = Rays::new(&mesh);
    let down = Ray::new([1e-3, 2e-3, 100.0], [0.0, 0.0, -1.0]).unwrap();
    let hit = rays.nearest(&down, Stops::Both).unwrap();
    assert!((hit.distance_mm - 98.0).abs() < 0.1 && mesh.patch_of(hit.triangle).unwrap().name == "inside");
    let from = hit.lifted_mm(mesh.lift_mm());
    let rim = mesh.patches().iter().find(|p| p.name == "rim").unwrap();
    let corners = (rim.first..rim.first + rim.count).flat_map(|t| mesh.corners_mm(t));
    let mouth = corners.map(|p| p[0].hypot(p[1])).fold(f64::INFINITY, f64::min);
    for i in (0..360).step_by(7) {
        let around = f64::from(i).to_radians();
        let to = |r: f64| [r * around.cos(), r * around.sin(), 32.0];
        let past = |r: f64| plus(from, times(minus(to(r), from), 3.0));
        assert!(rays.free(from, past(mouth * 0.995)) && !rays.free(from, past(mouth * 1.005)));
    }
}

/// Both sides of a dome lie at the same place: the one that is seen answers.
#[test]
fn of_two_sides_at_one_place_the_seen_one_answers() {
    let mesh = meshed(Shape::Dome { diameter_mm: 58.0, height_mm: 18.0, faces: Faces::Outer }, 0.02);
    let rays = Rays::new(&mesh);
    let mut chance = Chance(4);
    for _ in 0..300 {
        let [x, y, _] = chance.point(20.0);
        for (z, name, way) in [(90.0, "outside", 1.0), (-90.0, "hollow side", -1.0)] {
            let one = ray([1.3 * x, y, z], [x, y, 0.5 * (z + 90.0) / 90.0]);
            let hit = rays.nearest(&one, Stops::Both).unwrap();
            assert_eq!(mesh.patch_of(hit.triangle).unwrap().name, name);
            assert!(hit.facing && way * hit.normal[2] > 0.0);
            assert_eq!(rays.nearest(&one, Stops::Outer), Some(hit));
        }
    }
}

/// An open surface has a back: it is met, said to be one, and the cosine is that of the seen side.
#[test]
fn backs_are_said_to_be_backs() {
    let parts = MeshParts {
        points_mm: vec![[0.0; 3], [3.0, 0.0, 0.0], [0.0, 3.0, 0.0], [9.0, 9.0, 9.0]],
        normals: vec![[0.0, 0.0, 1.0]; 4],
        // The second has no area: nothing meets it.
        triangles: vec![[0, 1, 2], [3, 3, 0]],
        ..MeshParts::default()
    };
    let mesh = Mesh::new(parts).unwrap();
    let rays = Rays::new(&mesh);
    let above = Ray::new([1.0, 1.0, 5.0], [0.0, 0.0, -2.0]).unwrap();
    let hit = rays.nearest(&above, Stops::Outer).unwrap();
    assert!(hit.facing && (hit.distance_mm - 5.0).abs() < 1e-12 && (hit.cosine(above.direction()) - 1.0).abs() < 1e-12);
    assert!(hit.shares.iter().all(|s| (s - 1.0 / 3.0).abs() < 1e-12));
    let below = Ray::new([1.0, 1.0, -4.0], [0.0, 0.0, 1.0]).unwrap();
    let hit = rays.nearest(&below, Stops::Both).unwrap();
    assert!(!hit.facing && (hit.cosine(below.direction()) - 1.0).abs() < 1e-12);
    assert!(hit.lifted_mm(0.1)[2] < -0.09);
    assert!(rays.nearest(&below, Stops::Outer).is_none());
    // Past it, from behind it, along it, away from it.
    for (from, direction) in [
        ([2.0, 2.0, 5.0], [0.0, 0.0, -1.0]),
        ([1.0, 1.0, -1.0], [0.0, 0.0, -1.0]),
        ([1.0, 1.0, 0.0], [1.0, 0.0, 0.0]),
        ([-1.0, 1.0, 1e-9], [1.0, 0.0, 0.0]),
    ] {
        assert!(rays.open(&Ray::new(from, direction).unwrap()), "{from:?} {direction:?}");
    }
    assert!(!rays.free([1.0, 1.0, 1.0], [1.0, 1.0, -1.0]) && rays.free([1.0, 1.0, 2.0], [1.0, 1.0, 1.0]));
    assert!(rays.free([1.0, 1.0, 1.0], [1.0, 1.0, 1.0]));
    assert!(Ray::new([0.0; 3], [0.0; 3]).is_err() && Ray::new([f64::NAN; 3], [1.0; 3]).is_err());
    assert!(Ray::new([0.0; 3], [f64::INFINITY, 0.0, 0.0]).is_err());
}

/// A thousand triangles at one place cannot be told apart by any box.
#[test]
fn triangles_at_one_place_are_no_trouble() {
    let corners = [[0.0, 0.0, 1.0], [1.0, 0.0, 1.0], [0.0, 1.0, 1.0]];
    let parts = MeshParts {
        points_mm: corners.to_vec(),
        normals: vec![[0.0, 0.0, 1.0]; 3],
        triangles: vec![[0, 1, 2]; 1000],
        ..MeshParts::default()
    };
    let rays = Rays::new(&Mesh::new(parts).unwrap());
    let one = Ray::new([0.2, 0.2, 3.0], [0.0, 0.0, -1.0]).unwrap();
    assert_eq!(rays.nearest(&one, Stops::Both).unwrap().triangle, 0);
    assert_eq!(rays.nearest(&one, Stops::Both), rays.nearest_of_all(&one, Stops::Both));
}

/// Directions that are skew to one another give the same triangle whatever axis the ray follows most.
#[test]
fn facing_is_the_same_along_every_axis() {
    let mut chance = Chance(5);
    for _ in 0..500 {
        let corners = [chance.point(1.0), chance.point(1.0), chance.point(1.0)];
        let face = cross(minus(corners[1], corners[0]), minus(corners[2], corners[0]));
        let middle = times(plus(plus(corners[0], corners[1]), corners[2]), 1.0 / 3.0);
        let direction = chance.direction();
        let from = minus(middle, times(direction, 2.0));
        if dot(face, direction).abs() > 1e-6 {
            let met = Sheared::new(from, direction).triangle(&corners).unwrap();
            assert_eq!(met.facing, dot(face, direction) < 0.0);
            assert!((met.along - 2.0).abs() < 1e-9);
        }
    }
}
