//! A step in the bath.

use super::answer::StepPlan;
use super::bench::PlanError;
use super::rig::rig;
use super::sizing::sizing;
use super::trace::{Row, passed, trace};
use super::work::{Stop, Work, cannot};
use super::{brush, cue, fade, lifting};
use crate::matching::step::{Chance, Setting, Step, existing_nm};
use library::AnodiseSpec;
use routes::anodising::{Drive, Moment, Stop as Until, Stopped, anodise as run};
use routes::cell::Zone;

/// Growth that is worth a step, nm.
const LEAST_NM: f64 = 0.5;
/// Longest wait for a voltage to be reached, s.
pub(super) const LONGEST_S: f64 = 600.0;
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
    rig.rivals(volts);
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
    if zones[thinnest].thickness_nm > aim - LEAST_NM {
        let there = zones[thinnest].thickness_nm;
        // What counts as growth at all.
        let needed = (there + LEAST_NM - rig.film.law.offset_nm) / rig.film.ratio_nm_per_v();
        let words = format!(
            "the film is {there:.0} nm already; {volts:.1} V neither thicken nor thin it (a finished film does not grow at a lower voltage)"
        );
        let nearest = if needed < rig.greatest.0 {
            format!("voltage_v above {needed:.1}, or a step with preparation = \"strip\" before it")
        } else {
            "a step with preparation = \"strip\" before it".to_owned()
        };
        return Err(cannot(number, "order", words, Some(nearest)));
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
    if course.stopped == Stopped::Current && end.time_s <= brought_up_s {
        let given = spec.stop_current_a.unwrap_or(0.0);
        let at_aim = Until { after_s: brought_up_s + LONGEST_S, current_a: None, thickness_nm: Some((thinnest, aim)) };
        let usual = run(&rig.film, &rig.cell, &zones, &drive, at_aim, TOLERANCE_NM).end().current_a;
        let words = format!("stop_current_a = {given} A is more than flows at all: the step would end as it begins");
        return Err(cannot(number, "supply", words, Some(format!("stop_current_a = {usual:.2e}"))));
    }

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
    let whole_part = work.size.is_some() || spec.brush.is_some();
    step.watch.extend(cue::watch(&step, &course, rig.cell.most_a.is_some(), whole_part));
    let reached = end.thickness_nm[thinnest] >= aim - 0.5;
    step.sizing = match spec.brush {
        Some(_) => None,
        None => sizing(work, rig.supply, &course, wet_cm2, (volts, reached)),
    };
    step.notes = rig.notes.clone();
    if let Some(brush) = &spec.brush {
        let grown = (volts, aim, end.thickness_nm[0]);
        let share: f64 = areas.iter().map(|i| work.areas[*i].share).sum();
        let area_cm2 = work.size.as_ref().map(|s| s.area_cm2 * share);
        brush::tell(&mut step, &rig, brush, grown, zones[0], area_cm2);
        return Ok(step);
    }
    step.stop = Some(cue::stop_words(spec, &course, whole_part));
    if course.stopped == Stopped::Time && spec.hold_s.is_none() {
        step.notes.push(match spec.stop_current_a {
            Some(a) => format!("the current does not fall to {} within {LONGEST_S:.0} s", cue::amperes(a, whole_part)),
            None => format!(
                "after {LONGEST_S:.0} s the film is {:.0} nm of the {aim:.0} nm that the voltage grows in the end: the supply or the bath is weak for this area",
                end.thickness_nm[thinnest]
            ),
        });
    }
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
    area.keep(number, step, setting);
    area.along = None;
}

pub(super) fn row(m: &Moment, zone: usize) -> Row {
    Row {
        time_s: m.time_s,
        thickness_nm: m.thickness_nm[zone],
        voltage_v: Some(m.cell_v),
        current_a: Some(m.current_a),
        charge_c: Some(m.charge_c),
        temperature_c: None,
    }
}
