//! Limits with a closed form, and laws that every course keeps.

use super::*;
use crate::cell::Cell;
use crate::field::tests::titania;

const FREE: Cell = Cell { bath_ohm_cm2: 0.0, series_ohm: 0.0, most_a: None, cathode_v: 0.0 };

fn hold(film: &HighField, cell: &Cell, zones: &[Zone], volts: f64, after_s: f64, tolerance_nm: f64) -> Course {
    let drive = Drive { voltage_v: &|_| volts, immersed: &|_, _| 1.0, longest_s: f64::INFINITY };
    anodise(film, cell, zones, &drive, Stop { after_s, current_a: None, thickness_nm: None }, tolerance_nm)
}

#[test]
fn a_held_voltage_decays_with_its_time_constant() {
    // oxide-growth.md A08 (derived): i = i0 / (1 + t / tau), tau = q d / (i0 B E); 100 nm, 1 mA/cm2, B E 46: 3.99 s.
    let film = titania();
    let zone = [Zone { area_cm2: 1.0, thickness_nm: 100.0 }];
    let course = hold(&film, &FREE, &zone, 100.0 / 2.2, 0.2, 1e-9);
    let (first, last) = (&course.moments[0], course.end());
    assert!((first.current_a - 1e-3).abs() < 1e-12);
    let tau = last.time_s / (first.current_a / last.current_a - 1.0);
    assert!((tau / 3.99 - 1.0).abs() < 0.01, "{tau}");
    // Over a longer time the constant-field form is only near: the exact current falls faster as the film thickens.
    let long = hold(&film, &FREE, &zone, 100.0 / 2.2, 115.7, 1e-9);
    let fall = first.current_a / long.end().current_a;
    assert!((fall / 30.0 - 1.0).abs() < 0.12, "{fall}");
    // A09: falling to a thirtieth adds ln(30)/46 = 7.4 % to first order, 8.0 % exactly.
    let exact = 1.0 / (1.0 - libm::log(fall) / 46.0) - 1.0;
    assert!((long.end().thickness_nm[0] / 100.0 - 1.0 - exact).abs() < 1e-6);
}

#[test]
fn the_ratio_is_reached_when_the_reference_current_is() {
    let film = titania();
    let zone = [Zone { area_cm2: 3.0, thickness_nm: 0.0 }];
    let drive = Drive { voltage_v: &|_| 40.0, immersed: &|_, _| 1.0, longest_s: f64::INFINITY };
    let cell = Cell { most_a: Some(0.05), ..FREE };
    let stop = Stop { after_s: 600.0, current_a: Some((3e-3, 0.0)), thickness_nm: None };
    let course = anodise(&film, &cell, &zone, &drive, stop, 1e-6);
    assert_eq!(course.stopped, Stopped::Current);
    assert!((course.end().thickness_nm[0] - 88.0).abs() < 0.01, "{:?}", course.end());
}

#[test]
fn charge_is_kept() {
    let film = titania();
    let zones = [Zone { area_cm2: 20.0, thickness_nm: 10.0 }, Zone { area_cm2: 31.0, thickness_nm: 0.0 }];
    let cell = Cell { bath_ohm_cm2: 2381.0, series_ohm: 0.2, most_a: Some(1.0), cathode_v: 0.0 };
    let drive = Drive { voltage_v: &|t| (2.0 * t).min(60.0), immersed: &|_, _| 1.0, longest_s: f64::INFINITY };
    let stop = Stop { after_s: 60.0, current_a: None, thickness_nm: None };
    let course = anodise(&film, &cell, &zones, &drive, stop, 1e-5);
    let grown: f64 =
        zones.iter().zip(&course.end().thickness_nm).map(|(z, nm)| z.area_cm2 * (nm - z.thickness_nm)).sum();
    let faraday = grown * film.oxide.coulomb_per_cm2_nm();
    assert!((course.end().charge_c / faraday - 1.0).abs() < 1e-9, "{} {faraday}", course.end().charge_c);
}

#[test]
fn a_finer_tolerance_changes_nothing_beyond_it() {
    let film = titania();
    let zones = [Zone { area_cm2: 50.0, thickness_nm: 4.0 }];
    let cell = Cell { bath_ohm_cm2: 2381.0, series_ohm: 0.0, most_a: Some(3.0), cathode_v: 0.0 };
    let end = |tolerance| hold(&film, &cell, &zones, 62.0, 40.0, tolerance).end().thickness_nm[0];
    assert!((end(1e-4) - end(1e-7)).abs() < 1e-2, "{} {}", end(1e-4), end(1e-7));
}

#[test]
fn a_lower_voltage_never_grows_a_finished_area() {
    let film = titania();
    let finished = hold(&film, &FREE, &[Zone { area_cm2: 1.0, thickness_nm: 0.0 }], 60.0, 30.0, 1e-6);
    let before = finished.end().thickness_nm[0];
    for (volts, most_nm) in [(50.0, 0.01), (40.0, 1e-5), (20.0, 1e-9)] {
        let after = hold(&film, &FREE, &[Zone { area_cm2: 1.0, thickness_nm: before }], volts, 60.0, 1e-9);
        assert!(after.end().thickness_nm[0] - before <= most_nm, "{volts} V: {}", after.end().thickness_nm[0] - before);
    }
}
