//! What to watch on the meters, and when to stop.

use super::answer::StepPlan;
use super::trace::in_order;
use library::AnodiseSpec;
use routes::anodising::{Course, Stopped};

/// A current as an ammeter shows it; `whole`: of the part, else of each cm2.
pub(super) fn amperes(a: f64, whole: bool) -> String {
    let text = if a >= 1.0 {
        format!("{a:.1} A")
    } else if a >= 0.1 {
        format!("{a:.2} A")
    } else if a >= 1e-4 {
        format!("{:.1} mA", 1e3 * a)
    } else {
        format!("{:.1} uA", 1e6 * a)
    };
    if whole { text } else { format!("{text} for each cm2") }
}

/// Until when the supply gave all it could, s; 0 where it never did.
fn limited_until(course: &Course) -> f64 {
    course.moments.iter().rev().find(|m| m.limited).map_or(0.0, |m| m.time_s)
}

/// What the meters do.
pub(super) fn watch(step: &StepPlan, course: &Course, named: bool, whole: bool) -> Vec<String> {
    let end = course.end();
    let (peak, last) = (amperes(course.peak_a(), whole), amperes(end.current_a, whole));
    let limited = limited_until(course);
    if !named && course.moments.iter().any(|m| m.limited) {
        let mut words = vec![format!(
            "No greatest current of the supply is given: at first it gives what it can, and the film takes longer than told if that is little; the current falls to {last}."
        )];
        words.extend(order(step));
        return words;
    }
    let mut words = vec![if end.limited {
        format!(
            "The supply gives its {peak} all the time; the volts climb to {:.1} V in {:.0} s.",
            end.cell_v, end.time_s
        )
    } else if limited > 0.5 {
        format!(
            "At first the supply gives its {peak} while the volts climb; after {limited:.0} s they stand, and the current falls, to {last} after {:.0} s.",
            end.time_s
        )
    } else {
        format!(
            "The current begins at {peak} and falls to {last} in {:.0} s; while it falls, bath and leads take less and less of the voltage.",
            end.time_s
        )
    }];
    words.extend(order(step));
    words
}

fn order(step: &StepPlan) -> Option<String> {
    (step.passed.len() > 1).then(|| format!("Colours pass in this order: {}.", in_order(&step.passed)))
}

/// When to stop.
pub(super) fn stop_words(spec: &AnodiseSpec, course: &Course, whole: bool) -> String {
    let end = course.end();
    let last = amperes(end.current_a, whole);
    if end.limited {
        return format!(
            "after {:.0} s, when the volts have climbed to {:.1} V; the current does not fall until then",
            end.time_s, end.cell_v
        );
    }
    let limited = limited_until(course);
    match course.stopped {
        Stopped::Current => format!("when the ammeter has fallen to {last}, after about {:.0} s", end.time_s),
        Stopped::Thickness if limited > 0.9 * end.time_s => format!(
            "some {:.0} s after the volts stand at {:.1} V, when the current has begun to fall ({last})",
            end.time_s - limited,
            end.cell_v
        ),
        Stopped::Thickness => format!(
            "when the current has fallen to {last}, after about {:.0} s; it never falls to nothing, and who waits much longer gets the colour of some volts more",
            end.time_s
        ),
        Stopped::Time => match spec.hold_s {
            Some(held) => format!("after {held:.0} s at the voltage; the current is then {last}"),
            None => format!("after {:.0} s; the current is then {last}", end.time_s),
        },
    }
}
