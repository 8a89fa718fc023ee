//! Tests of the fit: a loop that the balance itself made, and readings that tell nothing.

use super::*;
use crate::reactive::tests::invented;

/// Readings of a balance at whole steps of flow, in volts rounded as a meter does.
pub(crate) fn readings(b: &Balance, volts: [f64; 2], most: f64, count: u32) -> (Vec<[f64; 2]>, Vec<[f64; 2]>) {
    let read = |risen: bool| {
        (1..=count)
            .map(|i| {
                let flow = most * f64::from(i) / f64::from(count);
                let v = volts[0] + (volts[1] - volts[0]) * b.come_to(flow, risen).target_compound;
                [flow, v.round()]
            })
            .collect()
    };
    (read(true), read(false))
}

#[test]
fn a_loop_of_its_own_is_found_again() {
    let truth = invented();
    let (up, down) = readings(&truth, [420.0, 350.0], 6.0, 16);
    let start = Balance { wall_m2: 1.0, yield_metal: 0.8, yield_compound: 0.4, pumping_m3_s: 1.0, ..truth };
    let fitted = fit(&up, &down, &start).unwrap();
    assert!(fitted.residual_v < 0.5, "{fitted:?}");
    let turning = fitted.turning.unwrap();
    let [top, bottom] = truth.turning().unwrap();
    let within = |[low, high]: [f64; 2], v: f64| low <= v && v <= high;
    assert!(within(turning.up_range, top.flow_sccm), "{turning:?}");
    assert!(within(turning.down_range, bottom.flow_sccm), "{turning:?}");
    assert!((fitted.volts_metal - 420.0).abs() < 1.0 && (fitted.volts_compound - 350.0).abs() < 3.0, "{fitted:?}");
    assert!(!fitted.jump_in_doubt && fitted.fits > 200);
    assert_eq!(fit(&up, &down, &start).unwrap(), fitted);
}

#[test]
fn what_is_missing_is_said() {
    let few = [[1.0, 400.0], [2.0, 410.0]];
    let start = invented();
    assert_eq!(fit(&few, &few, &start), Err(FitError::TooFew { rising: 2, falling: 2 }));
    let many = [[1.0, 400.0]; 8];
    assert_eq!(fit(&many, &[], &start), Err(FitError::TooFew { rising: 8, falling: 0 }));
    assert_eq!(fit(&many, &many, &start), Err(FitError::Flat { low_v: 400.0, high_v: 400.0 }));
    let mut wrong = many;
    wrong[3] = [-1.0, 400.0];
    assert_eq!(fit(&wrong, &many, &start), Err(FitError::Reading { flow_sccm: -1.0, volts: 400.0 }));
}

#[test]
fn a_chamber_that_does_not_jump_is_told_so() {
    let truth = Balance { pumping_m3_s: 2.0, ..invented() };
    assert!(truth.turning().is_none());
    let (up, down) = readings(&truth, [400.0, 470.0], 30.0, 20);
    let fitted = fit(&up, &down, &invented()).unwrap();
    assert!(fitted.residual_v < 0.5 && fitted.turning.is_none(), "{fitted:?}");
}

#[test]
fn few_readings_leave_much_open() {
    let truth = invented();
    let width = |count: u32| {
        let (up, down) = readings(&truth, [420.0, 350.0], 6.0, count);
        let [low, high] = fit(&up, &down, &truth).unwrap().turning.unwrap().up_range;
        (high - low) / truth.turning().unwrap()[0].flow_sccm
    };
    let (coarse, fine) = (width(5), width(24));
    assert!(fine < 0.5 * coarse && fine < 0.1, "{coarse} {fine}");
}

/// Readings that no chamber gives: an answer still comes, and the residual tells that it is none.
#[test]
fn nonsense_is_answered_with_its_residual() {
    let up = [[0.1, 400.0], [1.0, 300.0], [10.0, 420.0], [1000.0, 310.0]];
    let down = [[900.0, 450.0], [90.0, 320.0], [0.5, 460.0], [0.02, 300.0]];
    let fitted = fit(&up, &down, &invented()).unwrap();
    assert!(fitted.residual_v > 20.0, "{fitted:?}");
    // Bare metal alone: the volts only drift.
    let up = [[1.0, 400.0], [2.0, 401.0], [3.0, 403.0], [4.0, 404.0]];
    let fitted = fit(&up, &up, &invented()).unwrap();
    assert!(fitted.residual_v < 1.0, "{fitted:?}");
}
