//! Tests of the turning load: where parts are, what hides them, and what means must obey.

use super::*;

pub(crate) fn target() -> Target {
    Target {
        bearing_deg: 0.0,
        axis_mm: 380.0,
        track_height_mm: 500.0,
        track_width_mm: 80.0,
        emission: 1.0,
        centre_mm: 0.0,
        groove_mm: 0.0,
    }
}

pub(crate) fn load(rotation: u8) -> Carousel {
    Carousel {
        rotation,
        rpm: 3.0,
        table_mm: if rotation < 2 { 250.0 } else { 200.0 },
        satellites: 6,
        satellite_mm: 60.0,
        satellite_ratio: 2.7,
        pin_ratio: 5.3,
        shade_mm: if rotation < 2 { 0.0 } else { 55.0 },
    }
}

pub(crate) const OUT: Facet = Facet { at_mm: [0.0; 3], normal: [1.0, 0.0, 0.0] };

#[test]
fn parts_are_where_the_angles_put_them() {
    let c = load(2);
    let place = Place { height_mm: 0.0, around_deg: 90.0, inward_mm: 10.0 };
    let [x, y] = c.at_mm([0.0; 3], place);
    assert!((x - 200.0).abs() < 1e-9 && (y - 50.0).abs() < 1e-9);
    let [x, y] = c.at_mm([90.0, 90.0, 0.0], place);
    assert!(x.abs() < 1e-9 && (y - 150.0).abs() < 1e-9);
    assert_eq!(c.cycle(), Some(10));
    assert_eq!(Carousel { satellite_ratio: 2.0_f64.sqrt(), ..c }.cycle(), None);
    assert_eq!(load(1).cycle(), Some(1));
    let [table, satellite, pin] = c.angles_deg(0.5);
    assert!((table - 180.0).abs() + (satellite - 486.0).abs() + pin.abs() < 1e-9);
    assert_eq!(c.satellites_mm(30.0).len(), 6);
}

#[test]
fn a_strip_seen_from_afar_is_a_point() {
    let far = Target { axis_mm: 1e5, ..target() };
    let ours = far.arriving([0.0; 3], [1.0, 0.0, 0.0], &[]);
    let point = crate::emission::Emitter { at: [1e5, 0.0, 0.0], normal: [-1.0, 0.0, 0.0], exponent: 1.0 };
    let theirs = crate::emission::arriving(&point, [0.0; 3], [1.0, 0.0, 0.0]);
    assert!((ours / theirs - 1.0).abs() < 1e-4);
}

#[test]
fn a_body_between_hides_and_one_behind_does_not() {
    let t = target();
    let (at, normal) = ([100.0, 0.0, 0.0], [1.0, 0.0, 0.0]);
    let free = t.arriving(at, normal, &[]);
    let body = |x: f64, y: f64, radius_mm: f64| t.arriving(at, normal, &[Shield { at_mm: [x, y], radius_mm }]);
    assert!(body(250.0, 0.0, 60.0) <= 0.0);
    assert!((body(-50.0, 0.0, 60.0) / free - 1.0).abs() < 1e-12);
    // One that grazes the middle line hides half.
    assert!((body(250.0, 60.0, 60.0) / free - 0.5).abs() < 1e-3);
    // Two that overlap hide no more than both together.
    let two = [Shield { at_mm: [250.0, 60.0], radius_mm: 60.0 }, Shield { at_mm: [250.0, 62.0], radius_mm: 60.0 }];
    assert!((t.arriving(at, normal, &two) / body(250.0, 60.0, 60.0) - 1.0).abs() < 0.1);
    // The receiver stands on the body: what is before its tangent plane is free.
    assert!((body(70.0, 0.0, 30.0) / free - 1.0).abs() < 1e-12);
    assert!((body(70.0, 0.0, 45.0) / free - 1.0).abs() < 1e-12);
}

#[test]
fn a_worn_track_hides_its_floor_from_the_side() {
    // From afar: 1 - depth/width tan, by plane geometry.
    let far = Target { axis_mm: 1e4, ..target() };
    let worn = Target { groove_mm: 8.0, ..far };
    for tan in [0.0, 1.0, 3.0, 12.0] {
        let at = [0.0, -1e4 * tan, 0.0];
        let length = libm::hypot(1.0, tan);
        let normal = [1.0 / length, tan / length, 0.0];
        let share = worn.arriving(at, normal, &[]) / far.arriving(at, normal, &[]);
        let expected = (1.0 - 8.0 / 80.0 * tan).max(0.0);
        assert!((share - expected).abs() < 2e-2 * expected.max(0.1), "{tan}: {share} {expected}");
    }
}

#[test]
fn a_still_part_gets_the_same_always() {
    let chamber = Chamber { targets: vec![target()], carousel: load(0) };
    let place = Place { around_deg: 20.0, ..Place::default() };
    let now = chamber.now(place, OUT, [0.0; 3]);
    assert!(now > 0.0 && (chamber.mean(place, OUT) / now - 1.0).abs() < 1e-15);
    assert!(chamber.turn(place, OUT, 5).iter().all(|(_, rate)| (rate / now - 1.0).abs() < 1e-15));
}
