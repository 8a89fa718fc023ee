//! A step in the bath.

use super::answer::StepPlan;
use super::bench::PlanError;
use super::rig::{Rig, rig};
use super::sizing::sizing;
use super::trace::{Row, in_order, passed, trace};
use super::work::{Stop, Work, cannot};
use super::{fade, lifting};
use crate::matching::step::{Chance, Setting, Step, existing_nm};
use library::AnodiseSpec;
use routes::anodising::{Course, Drive, Moment, Stop as Until, anodise as run};
use routes::cell::Zone;

/// Longest wait for a voltage to be reached, s.
const LONGEST_S: f64 = 600.0;
/// Growth below this is none, nm: far less than any eye or law tells.
const UNGROWN_NM: f64 = 0.05;
/// Error of each step in time, nm.
pub(super) const TOLERANCE_NM: f64 = 1e-4;

pub(super) fn anodise(
    work: &mut Work<'_>,
    number: usize,
    areas: &[usize],
    spec: &AnodiseSpec,
) -> Result<StepPlan, Stop> {
    let mut rig = rig(work, number, areas, spec)?;
    if let Some(wanted) = &spec.fade {
        let fade = fade::path(work, number, areas, wanted, &rig)?;
        return lifting::lift(work, number, areas[0], (spec, wanted), rig, &fade);
    }
    let wished = spec.voltage_v.ok_or(PlanError::Missing {
        step: number,
        what: "voltage_v",
        hint: "voltage_v = 25, or [[step.along]] for a fade",
    })?;
    let volts = rig.reachable(number, wished)?;
    let whole = work.whole_cm2();
    let zones: Vec<Zone> = match &spec.brush {
        Some(brush) => vec![Zone {
            area_cm2: brush.contact_mm2 / 100.0,
            thickness_nm: existing_nm(&work.areas[areas[0]].finish, rig.step.film()),
        }],
        None => areas
            .iter()
            .map(|i| Zone {
                area_cm2: whole * work.areas[*i].share,
                thickness_nm: existing_nm(&work.areas[*i].finish, rig.step.film()),
            })
            .collect(),
    };
    let aim = rig.film.thickness_nm(volts);
    let thinnest =
        (0..zones.len()).min_by(|a, b| zones[*a].thickness_nm.total_cmp(&zones[*b].thickness_nm)).unwrap_or(0);
    if zones[thinnest].thickness_nm > aim - 0.5 {
        let there = zones[thinnest].thickness_nm;
        let needed = (there - rig.film.law.offset_nm) / rig.film.ratio_nm_per_v();
        let words = format!(
            "the film is {there:.0} nm already, what {needed:.1} V grow; {volts:.1} V neither thicken nor thin it (a finished film does not grow at a lower voltage)"
        );
        return Err(cannot(number, "order", words, Some(format!("voltage_v above {needed:.1}, or strip it first"))));
    }
    let ramp = spec.ramp_v_per_s.unwrap_or(f64::INFINITY);
    let brought_up_s = if ramp.is_finite() { volts / ramp } else { 0.0 };
    let stroke = spec.brush.as_ref().map(|b| f64::from(b.passes) * b.contact_mm2.sqrt() / b.speed_mm_per_s);
    let until = Until {
        after_s: stroke.unwrap_or_else(|| spec.hold_s.map_or(brought_up_s + LONGEST_S, |s| brought_up_s + s)),
        current_a: spec.stop_current_a.map(|a| (a, brought_up_s)),
        // Left to itself, a step ends when the film is what the growth law says for this voltage.
        thickness_nm: (stroke.is_none() && spec.hold_s.is_none() && spec.stop_current_a.is_none())
            .then_some((thinnest, aim)),
    };
    let drive = Drive {
        voltage_v: &|t| if ramp.is_finite() { (ramp * t).min(volts) } else { volts },
        immersed: &|_, _| 1.0,
        longest_s: f64::INFINITY,
    };
    let course = run(&rig.film, &rig.cell, &zones, &drive, until, TOLERANCE_NM);
    let end = course.end().clone();

    let mut step = rig.told(work, number, areas, spec, (volts, end.charge_c));
    let before = work.areas[areas[thinnest.min(areas.len() - 1)]].finish.clone();
    for (zone, i) in areas.iter().enumerate() {
        let thickness_nm = end.thickness_nm[zone.min(end.thickness_nm.len() - 1)];
        grow(work, *i, number, &rig.step, thickness_nm);
    }
    let mut growing = before;
    rig.step.apply(
        &mut growing,
        Setting { thickness_nm: end.thickness_nm[thinnest], composition: None },
        Chance::default(),
    );
    let rows: Vec<Row> = course.moments.iter().map(|m| row(m, thinnest)).collect();
    let trace = trace(work, &growing, &rows)?;
    step.passed = passed(&trace);
    step.trace = Some(trace);
    step.seconds = Some(end.time_s);
    let wet_cm2: f64 = zones.iter().map(|z| z.area_cm2).sum();
    step.sizing = if spec.brush.is_some() { None } else { sizing(work, rig.supply, &course, wet_cm2, volts) };
    step.watch.extend(watch(&step, &course, work.size.is_some() || spec.brush.is_some()));
    if let Some(brush) = &spec.brush {
        rig.notes.extend(brushed(
            &rig,
            &zones,
            volts,
            aim,
            brush.contact_mm2.sqrt(),
            brush.passes,
            end.thickness_nm[0],
        ));
    } else {
        step.stop = Some(stop_words(spec, &end, work.size.is_some()));
        if spec.hold_s.is_none() && spec.stop_current_a.is_none() && end.thickness_nm[thinnest] < aim - 0.5 {
            rig.notes.push(format!(
                "after {LONGEST_S:.0} s the film is {:.0} nm of the {aim:.0} nm that the voltage grows in the end: the supply is weak for this area",
                end.thickness_nm[thinnest]
            ));
        }
    }
    step.notes = rig.notes;
    Ok(step)
}

/// Puts the grown film on an area.
pub(super) fn grow(work: &mut Work<'_>, area: usize, number: usize, step: &Step, thickness_nm: f64) {
    let area = &mut work.areas[area];
    // A finished area that the voltage does not reach is none of this step's making.
    if thickness_nm - existing_nm(&area.finish, step.film()) < UNGROWN_NM {
        return;
    }
    let setting = Setting { thickness_nm, composition: None };
    step.apply(&mut area.finish, setting, Chance::default());
    area.chain.push((number, step.clone(), setting));
    area.along = None;
}

pub(super) fn row(m: &Moment, zone: usize) -> Row {
    Row {
        time_s: m.time_s,
        thickness_nm: m.thickness_nm[zone],
        voltage_v: Some(m.set_v),
        current_a: Some(m.current_a),
        charge_c: Some(m.charge_c),
        temperature_c: None,
    }
}

fn amperes(a: f64, whole: bool) -> String {
    let text = if a >= 1.0 {
        format!("{a:.1} A")
    } else if a >= 0.1 {
        format!("{a:.2} A")
    } else {
        format!("{:.1} mA", 1e3 * a)
    };
    if whole { text } else { format!("{text} for each cm2") }
}

fn watch(step: &StepPlan, course: &Course, whole: bool) -> Vec<String> {
    let end = course.end();
    let mut words = vec![format!(
        "The current begins at {} and falls to {} in {:.0} s; while it falls, bath and leads take less and less of the voltage.",
        amperes(course.peak_a(), whole),
        amperes(end.current_a, whole),
        end.time_s
    )];
    if step.passed.len() > 1 {
        words.push(format!("Colours pass in this order: {}.", in_order(&step.passed)));
    }
    words
}

fn stop_words(spec: &AnodiseSpec, end: &Moment, whole: bool) -> String {
    match (spec.stop_current_a, spec.hold_s) {
        (Some(a), _) => format!("when the ammeter has fallen to {}", amperes(a, whole)),
        (None, Some(s)) => {
            format!("after {s:.0} s at the voltage; the current is then {}", amperes(end.current_a, whole))
        }
        (None, None) => format!(
            "when the current has fallen to {}; waiting for none at all would give the colour of a slightly higher voltage",
            amperes(end.current_a, whole)
        ),
    }
}

/// What a moving contact makes, and how slow it must be.
fn brushed(
    rig: &Rig<'_>,
    zones: &[Zone],
    volts: f64,
    aim: f64,
    width_mm: f64,
    passes: u32,
    grown_nm: f64,
) -> Vec<String> {
    let drive = Drive { voltage_v: &|_| volts, immersed: &|_, _| 1.0, longest_s: f64::INFINITY };
    let until = Until { after_s: LONGEST_S, current_a: None, thickness_nm: Some((0, 0.98 * aim)) };
    let full = run(&rig.film, &rig.cell, zones, &drive, until, TOLERANCE_NM).end().time_s;
    let slowest = f64::from(passes) * width_mm / full;
    let mut notes = vec![format!(
        "a contact {width_mm:.0} mm wide stays on a spot until the film is within 2 % when it moves at {slowest:.1} mm/s or slower ({passes} pass{})",
        if passes == 1 { "" } else { "es" }
    )];
    if grown_nm < 0.97 * aim {
        notes.push(format!("as written it grows {grown_nm:.0} nm of {aim:.0} nm: go slower, or over it more often"));
    }
    notes.push("strokes that overlap do no harm: a spot that is finished does not grow further at the same voltage; write upward, from the lowest voltage to the highest (common practice)".to_owned());
    notes
}
