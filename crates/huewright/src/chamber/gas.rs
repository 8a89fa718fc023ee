//! What a reactive gas does in a chamber, as far as the shop's own readings tell it: the S-curve of its loop, the flows at
//! which it jumps, the pump that would need no jump, and the composition that a flow gives.

use super::answer::{BalanceJson, Curve, GasJson, Jump, ReadBackJson};
use super::flow::{FlowMap, MISSED_BY};
use library::{Coater, Gas, GasSpec};
use routes::reactive::{Balance, Gas as Molecule};
use routes::reactive_fit::{Fitted, fit};

/// A fit that leaves more than this share of the step in the volts explains nothing: own choice.
const EXPLAINED: f64 = 0.15;
/// Points of the S-curve.
const CURVE_POINTS: u32 = 160;
/// What a loop cannot tell, where the workshop does not: areas of a middling magnetron, sticking 1, the yields of
/// coatings.md 3.4 (invented), room temperature. Walls, yields and pump are fitted anew; the
/// pressures of the curve follow the area of the target and are only as good as it.
const TARGET_CM2: f64 = 400.0;
const WALL_CM2: f64 = 12_000.0;
const CURRENT_A: f64 = 8.0;
const PUMPING_L_PER_S: f64 = 500.0;
const YIELDS: [f64; 2] = [0.5, 0.1];
const ROOM_K: f64 = 300.0;

/// What is known of the gas of `film`; `None` where the shop has read nothing.
pub(crate) fn told(
    coater: &Coater,
    film: &str,
    map: Option<&FlowMap>,
    flow_sccm: Option<f64>,
    composition: Option<f64>,
) -> Option<GasJson> {
    let spec = coater.gases.iter().find(|g| g.film == film)?;
    let gas = spec.gas.word();
    let mut words = Vec::new();
    let balance = if spec.up.is_empty() && spec.down.is_empty() {
        words.push(format!(
            "no loop of {gas} was read: write flow and cathode volts, rising and falling, under up_sccm_v and down_sccm_v, and the jump is told"
        ));
        None
    } else {
        match fit(&spec.up, &spec.down, &start(spec)) {
            Ok(fitted) if fitted.residual_v > EXPLAINED * (fitted.volts_metal - fitted.volts_compound).abs() => {
                words.push(format!(
                    "the loop of {gas} is not one that a balance of target, wall and gas shows: the best leaves {:.0} V of a step of {:.0} V. Were rising and falling exchanged?",
                    fitted.residual_v,
                    (fitted.volts_metal - fitted.volts_compound).abs()
                ));
                None
            }
            Ok(fitted) => Some(balance(spec, &fitted, flow_sccm, &mut words)),
            Err(e) => {
                words.push(format!("the loop of {gas} is not explained: {e}"));
                None
            }
        }
    };
    match map {
        Some(map) => {
            words.push(format!(
                "composition moves by {:+.3} each sccm between {} and {} sccm, read back from {} colours on the {} side",
                map.slope(),
                map.range_sccm[0],
                map.range_sccm[1],
                map.from.len(),
                side(map)
            ));
            for off in map.from.iter().filter(|r| r.delta_e > MISSED_BY) {
                words.push(format!(
                    "the colour at {} sccm lies {:.1} (CIEDE2000) from anything that the model of {film} shows: its composition is a guess",
                    off.flow_sccm, off.delta_e
                ));
            }
        }
        None => words.push(format!(
            "what composition a flow of {gas} gives is not known: lay opaque coupons at three flows, and write their colours under [[coater.gas.colour]]"
        )),
    }
    let told = flow_sccm.zip(map).and_then(|(flow, map)| map.composition(flow));
    Some(GasJson {
        gas,
        flow_sccm,
        composition: told.map(|t| t.0).or(composition),
        composition_sd: told.map(|t| t.1),
        range_sccm: map.map(|m| m.range_sccm),
        branch: map.map(side),
        read_back: map
            .map(|m| {
                m.from
                    .iter()
                    .map(|r| ReadBackJson { flow_sccm: r.flow_sccm, composition: r.composition, delta_e: r.delta_e })
                    .collect()
            })
            .unwrap_or_default(),
        balance,
        words,
    })
}

fn side(map: &FlowMap) -> &'static str {
    if map.compound { "compound" } else { "metal" }
}

fn start(spec: &GasSpec) -> Balance {
    Balance {
        target_m2: 1e-4 * spec.target_cm2.unwrap_or(TARGET_CM2),
        wall_m2: 1e-4 * spec.wall_cm2.unwrap_or(WALL_CM2),
        current_a: spec.current_a.unwrap_or(CURRENT_A),
        sticking_target: 1.0,
        sticking_wall: 1.0,
        yield_metal: YIELDS[0],
        yield_compound: YIELDS[1],
        pumping_m3_s: 1e-3 * spec.pumping_l_per_s.unwrap_or(PUMPING_L_PER_S),
        gas: match spec.gas {
            Gas::Nitrogen => Molecule::NITROGEN,
            Gas::Oxygen => Molecule::OXYGEN,
            Gas::Acetylene => Molecule::ACETYLENE,
        },
        temperature_k: ROOM_K,
    }
}

fn balance(spec: &GasSpec, fitted: &Fitted, flow_sccm: Option<f64>, words: &mut Vec<String>) -> BalanceJson {
    let told = spec.pumping_l_per_s.map_or(fitted.balance, |l_per_s| fitted.balance.told_pumping(1e-3 * l_per_s));
    let jump = fitted.turning.map(|t| Jump {
        up_sccm: t.up_sccm,
        up_range: t.up_range,
        down_sccm: t.down_sccm,
        down_range: t.down_range,
    });
    let states = told.curve(CURVE_POINTS);
    let steady = |pressure_pa: f64| {
        told.turning().is_none_or(|[up, down]| pressure_pa <= up.pressure_pa || pressure_pa >= down.pressure_pa)
    };
    let mut curve = Curve::default();
    for state in &states {
        curve.pressure_pa.push(state.pressure_pa);
        curve.flow_sccm.push(state.flow_sccm);
        curve.cathode_v.push(fitted.volts(state.target_compound));
        curve.rate_share.push(state.rate_share);
        curve.target_compound.push(state.target_compound);
        curve.wall_compound.push(state.wall_compound);
        curve.steady.push(steady(state.pressure_pa));
    }
    let pumping_l_per_s = 1e3 * told.pumping_m3_s;
    let pumping_without_l_per_s = 1e3 * told.pumping_without_hysteresis();
    let times = pumping_without_l_per_s / pumping_l_per_s;
    match jump {
        Some(j) => {
            words.push(format!(
                "with rising flow the target jumps to its compound at {:.1} sccm ({:.1} to {:.1}), with falling flow back at {:.1} ({:.1} to {:.1})",
                j.up_sccm, j.up_range[0], j.up_range[1], j.down_sccm, j.down_range[0], j.down_range[1]
            ));
            words.push(format!(
                "a pump {times:.1} times as fast would have no jump{}",
                if spec.pumping_l_per_s.is_some() {
                    format!(": {pumping_without_l_per_s:.0} l/s at the chamber in place of {pumping_l_per_s:.0}")
                } else {
                    String::new()
                }
            ));
            if let Some(flow) = flow_sccm {
                words.push(between(flow, &j));
            }
        }
        None => words.push("the loop shows no jump: every flow has one state".to_owned()),
    }
    if fitted.jump_in_doubt {
        words.push("fits that explain the loop as well disagree on whether it jumps: read more points about the steepest place".to_owned());
    }
    words.push(format!(
        "the fit leaves {:.1} V rms; it stands for this chamber, current and state of the walls, as long as they last",
        fitted.residual_v
    ));
    BalanceJson {
        curve,
        jump,
        pumping_l_per_s: spec.pumping_l_per_s,
        pumping_times: times,
        up_sccm_v: spec.up.clone(),
        down_sccm_v: spec.down.clone(),
        residual_v: fitted.residual_v,
    }
}

/// On which side of the jump a flow lies.
fn between(flow: f64, jump: &Jump) -> String {
    if flow > jump.down_range[0] && flow < jump.up_range[1] {
        format!(
            "{flow:.1} sccm lie where both sides can hold: come from low flow for the metal side, and hold the volts and not the flow; a spark or a shutter may tip it over"
        )
    } else if flow <= jump.down_range[0] {
        format!("{flow:.1} sccm lie on the metal side alone")
    } else {
        format!("{flow:.1} sccm lie on the compound side alone: slow and stoichiometric")
    }
}
