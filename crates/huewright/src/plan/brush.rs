//! A brush or pencil: a small contact that moves over the part.

use super::anodise::{LONGEST_S, TOLERANCE_NM};
use super::answer::StepPlan;
use super::rig::Rig;
use library::BrushSpec;
use routes::anodising::{Drive, Stop as Until, Stopped, anodise as run};
use routes::cell::Zone;

/// Within this of the film that the voltage grows, a spot counts as full.
const FULL: f64 = 0.98;

/// Adds to a step what a brush asks for: how to move, how slow, and how long the whole takes.
pub(super) fn tell(
    step: &mut StepPlan,
    rig: &Rig<'_>,
    brush: &BrushSpec,
    (volts, aim_nm, grown_nm): (f64, f64, f64),
    zone: Zone,
    area_cm2: Option<f64>,
) {
    let (width_mm, passes) = (brush.contact_mm2.sqrt(), brush.passes);
    let drive = Drive { voltage_v: &|_| volts, immersed: &|_, _| 1.0, longest_s: f64::INFINITY };
    let until = Until { after_s: LONGEST_S, current_a: None, thickness_nm: Some((0, FULL * aim_nm)) };
    let full = run(&rig.film, &rig.cell, &[zone], &drive, until, TOLERANCE_NM);
    let times = if passes == 1 { "once".to_owned() } else { format!("{passes} times") };
    step.todo.push(format!(
        "The brush is the cathode (minus), soaked in the bath; the part is plus. Move it over each spot {times} at {:.1} mm/s: it wets a spot {width_mm:.0} mm wide.",
        brush.speed_mm_per_s
    ));
    step.stop = Some(format!("when every spot has been passed {times}"));
    step.seconds = None;
    if let Some(cm2) = area_cm2 {
        let seconds = f64::from(passes) * 100.0 * cm2 / (width_mm * brush.speed_mm_per_s);
        step.seconds = Some(seconds);
        step.watch.push(format!("{cm2:.0} cm2 take {:.0} min of brushing, side by side without gaps.", seconds / 60.0));
    }
    let full_s = full.end().time_s;
    if full.stopped == Stopped::Thickness && full_s > 0.0 {
        let slowest = f64::from(passes) * width_mm / full_s;
        step.notes.push(format!(
            "a spot is within 2 % of its full film when the brush moves at {slowest:.2} mm/s or slower, passing {times}"
        ));
    }
    if grown_nm < FULL * aim_nm {
        step.notes.push(format!(
            "as written a spot grows {grown_nm:.0} nm of {aim_nm:.0} nm: go slower, or over it more often"
        ));
    }
    step.notes.push(
        "strokes that overlap do little harm: a spot that is full grows slowly at the same voltage; write upward, from the lowest voltage to the highest (common practice)"
            .to_owned(),
    );
}
