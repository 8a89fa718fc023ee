//! Tests of the balance: its equations hold at each state, and its own numbers agree with one another.

use super::*;

/// The set that coatings.md 3.4 invented for its regression.
pub(crate) fn invented() -> Balance {
    Balance {
        target_m2: 0.02,
        wall_m2: 0.3,
        current_a: 2.0,
        sticking_target: 1.0,
        sticking_wall: 1.0,
        yield_metal: 0.5,
        yield_compound: 0.1,
        pumping_m3_s: 0.1,
        gas: Gas::NITROGEN,
        temperature_k: 300.0,
    }
}

#[test]
fn every_state_keeps_the_equations() {
    for gas in [Gas::NITROGEN, Gas::OXYGEN, Gas::ACETYLENE] {
        let b = Balance { gas, sticking_wall: 0.7, sticking_target: 0.4, ..invented() };
        for pressure in [1e-5, 3e-4, 4e-3, 0.2] {
            let s = b.at_pressure(pressure);
            let flux = pressure / b.pressure_of_flux();
            let ions = b.ions();
            let (t, c, ratio) = (s.target_compound, s.wall_compound, b.target_m2 / b.wall_m2);
            let target = ions * b.yield_compound * t / (gas.units * b.sticking_target * flux * (1.0 - t));
            assert!((target - 1.0).abs() < 1e-10, "{pressure}");
            let gain = ions * b.yield_compound * t * ratio * (1.0 - c) + gas.units * b.sticking_wall * flux * (1.0 - c);
            let loss = ions * b.yield_metal * (1.0 - t) * ratio * c;
            assert!((gain / loss - 1.0).abs() < 1e-10, "{pressure}");
            let flow = b.sticking_target * flux * (1.0 - t) * b.target_m2
                + b.sticking_wall * flux * (1.0 - c) * b.wall_m2
                + pressure * b.pumping_m3_s / (BOLTZMANN * b.temperature_k);
            assert!((flow / PER_SCCM / s.flow_sccm - 1.0).abs() < 1e-10, "{pressure}");
            let rate = ions * (b.yield_compound * t + b.yield_metal * (1.0 - t)) * ratio;
            assert!((rate / s.rate_per_m2_s - 1.0).abs() < 1e-12, "{pressure}");
        }
    }
}

#[test]
fn no_gas_is_bare_metal() {
    let s = invented().at_pressure(0.0);
    assert!(s.flow_sccm.abs() + s.target_compound + s.wall_compound < 1e-15 && (s.rate_share - 1.0).abs() < 1e-15);
    let s = invented().at_flow(0.0);
    assert!(s.len() == 1 && s[0].pressure_pa < 1e-12, "{s:?}");
}

#[test]
fn three_states_between_the_turning_points() {
    let b = invented();
    let [up, down] = b.turning().unwrap();
    assert!(up.flow_sccm > down.flow_sccm && up.pressure_pa < down.pressure_pa);
    for (flow, count) in
        [(0.9 * down.flow_sccm, 1), (0.5 * (up.flow_sccm + down.flow_sccm), 3), (1.1 * up.flow_sccm, 1)]
    {
        let states = b.at_flow(flow);
        assert_eq!(states.len(), count, "{flow}");
        assert!(states.windows(2).all(|w| w[0].pressure_pa < w[1].pressure_pa));
        for s in &states {
            assert!((s.flow_sccm / flow - 1.0).abs() < 1e-12);
            assert!((b.at_pressure(s.pressure_pa).flow_sccm / flow - 1.0).abs() < 1e-9);
        }
        assert_eq!(b.come_to(flow, true), states[0]);
        assert_eq!(b.come_to(flow, false), states[count - 1]);
    }
}

#[test]
fn enough_pumping_takes_the_jump_away() {
    let b = invented();
    let enough = b.pumping_without_hysteresis();
    assert!(Balance { pumping_m3_s: 1.0001 * enough, ..b }.turning().is_none());
    let [up, down] = Balance { pumping_m3_s: 0.9999 * enough, ..b }.turning().unwrap();
    assert!((up.flow_sccm - down.flow_sccm).abs() < 1e-3 * up.flow_sccm);
    // Yields alike: nothing is lost by covering the target, and nothing jumps.
    assert!(Balance { yield_compound: 0.5, pumping_m3_s: 1e-4, ..b }.turning().is_none());
}

#[test]
fn a_known_pump_keeps_the_loop() {
    let b = invented();
    let other = b.told_pumping(0.25);
    for flow in [1.0, 3.0, 5.0] {
        let (a, o) = (b.come_to(flow, true), other.come_to(flow, true));
        assert!((a.target_compound / o.target_compound - 1.0).abs() < 1e-9);
        assert!((a.pressure_pa / o.pressure_pa / 2.5 - 1.0).abs() < 1e-9);
    }
    let back = Balance { yield_metal: 1.0, wall_m2: 1.0, ..b }.with_shape(&b.shape());
    assert!((back.yield_metal / b.yield_metal - 1.0).abs() < 1e-12 && (back.wall_m2 / b.wall_m2 - 1.0).abs() < 1e-12);
}

#[test]
fn the_curve_holds_both_turning_points() {
    for pumping_m3_s in [0.02, 0.1, 0.3, 1.0, 10.0] {
        let b = Balance { pumping_m3_s, ..invented() };
        let curve = b.curve(200);
        assert_eq!(curve.len(), 200);
        if let Some([up, down]) = b.turning() {
            assert!(curve[0].pressure_pa < up.pressure_pa && curve[199].pressure_pa > down.pressure_pa);
            assert!(curve[199].flow_sccm > up.flow_sccm);
        }
    }
}
