//! A fade, lifted: speed and ramp that the supply can grow, or a beat to lift to by hand, and the strip that comes of it.

use super::anodise::{grow, row};
use super::answer::{BeatJson, Lift, StepPlan};
use super::bench::PlanError;
use super::fade::Fade;
use super::hoist::{Job, SLICES, hoist};
use super::rig::Rig;
use super::sizing::sizing;
use super::trace::{Row, passed, trace};
use super::work::{Place, Stop, Strip, Work, cannot};
use crate::matching::step::{Chance, Setting, existing_nm};
use colour::Lab;
use library::{AnodiseSpec, Extent, FadeSpec, PartFile, ShapeSpec};

/// Share of the supply's current that a lift may ask for: own judgement, so that the voltage is kept.
const SHARE: f64 = 0.8;
/// Volts that bath and leads may take while lifting, by which the supply is set ahead: own judgement; the more, the more
/// it matters how evenly the part is lifted.
const LEAD_V: f64 = 2.0;
/// Time for each volt, s: own judgement of what a hand at the knob follows.
const VOLT_S: f64 = 1.5;
/// Fastest lift by hand or motor, mm/s: own judgement.
const FASTEST_MM_PER_S: f64 = 5.0;
/// What the part hangs still at the first voltage, s, when nothing else is said.
const BEFORE_S: f64 = 20.0;
/// Least time between two beats, s: own judgement of what a hand follows.
const BEAT_S: f64 = 3.0;
/// Most beats that are told.
const MOST_BEATS: f64 = 40.0;
/// Chroma below which a colour is pale: own judgement.
const PALE_CHROMA: f64 = 8.0;

pub(super) fn lift(
    work: &mut Work<'_>,
    number: usize,
    area: usize,
    (spec, wanted): (&AnodiseSpec, &FadeSpec),
    mut rig: Rig<'_>,
    fade: &Fade,
) -> Result<StepPlan, Stop> {
    let path = &fade.path;
    let (first_v, last_v) = (path.voltage_v(0.0), path.voltage_v(1.0));
    rig.reachable(number, last_v)?;
    rig.reachable(number, first_v)?;
    rig.rivals(last_v);
    let existing = existing_nm(&work.areas[area].finish, rig.step.film());
    if existing > rig.film.thickness_nm(first_v) + 0.5 {
        let words = format!(
            "the film is {existing:.0} nm already, more than {first_v:.1} V grow: the end that leaves first would keep the colour it has"
        );
        return Err(cannot(number, "order", words, Some("a step with preparation = \"strip\" before it".to_owned())));
    }
    let length_mm = wanted.length_mm.or_else(|| work.part.and_then(height_mm)).ok_or(PlanError::Missing {
        step: number,
        what: "length_mm",
        hint: "how far the part is lifted, or a part with a height",
    })?;
    let cm2 = work.whole_cm2() * work.areas[area].share;
    let fastest = (path.fastest(&rig.film, &rig.cell, cm2, SHARE, LEAD_V) * length_mm)
        .min(length_mm / (VOLT_S * (last_v - first_v).max(1.0)))
        .min(FASTEST_MM_PER_S);
    let speed = wanted.speed_mm_per_s.unwrap_or(fastest);
    if speed > fastest * 1.02 {
        let words = format!(
            "{speed:.2} mm/s is too fast: the film must follow at {:.2} V/s on {cm2:.0} cm2 with less than {LEAD_V} V taken by bath and leads, and a hand needs {VOLT_S} s for each volt",
            speed / length_mm * (last_v - first_v)
        );
        return Err(cannot(number, "supply", words, Some(format!("speed_mm_per_s = {}", rounded_down(fastest)))));
    }
    let seconds = length_mm / speed;
    #[expect(clippy::cast_precision_loss, reason = "some tens")]
    let count = SLICES as f64;
    let job = Job {
        area_cm2: cm2,
        existing_nm: existing,
        length_mm,
        speed_mm_per_s: speed,
        before_s: spec.hold_s.unwrap_or(BEFORE_S),
        until_a: spec.stop_current_a,
    };
    let lifted = hoist(&rig, path, &job);
    if let Some(a) = spec.stop_current_a
        && lifted.before_s <= 0.0
    {
        let words = format!("stop_current_a = {a} A is more than flows at all: the part would not hang still");
        return Err(cannot(number, "supply", words, Some("hold_s = 20 in its place".to_owned())));
    }
    let (course, before_s) = (&lifted.course, lifted.before_s);
    let grown = lifted.grown().to_vec();
    let ahead = |place: f64| lifted.set_v(place);

    let mut step = rig.told(work, number, &[area], spec, (lifted.set_v(1.0), course.end().charge_c));
    let before = work.areas[area].finish.clone();
    grow(work, area, number, &rig.step, grown[SLICES / 2]);
    let places: Vec<Place> = grown
        .iter()
        .enumerate()
        .map(|(i, nm)| {
            #[expect(clippy::cast_precision_loss, reason = "some tens")]
            let at = 100.0 * (i as f64 + 0.5) / count;
            let mut place = Place { at, thickness_nm: *nm, voltage_v: Some(path.voltage_v(at / 100.0)), wanted: None };
            place.wanted = wanted_in(fade, &place, i, count).cloned();
            place
        })
        .collect();
    let mut growing = before;
    rig.step.apply(&mut growing, Setting { thickness_nm: grown[SLICES - 1], composition: None }, Chance::default());
    // What the end that leaves last shows, minute by minute.
    let rows: Vec<Row> = course.moments.iter().map(|m| row(m, SLICES - 1)).collect();
    let through = trace(work, &growing, &rows)?;
    step.passed = passed(&through);
    step.trace = Some(through);
    step.seconds = Some(before_s + seconds);
    step.sizing = sizing(work, rig.supply, course, cm2, (last_v, false));
    let strip = strip(work, &growing, &grown)?;
    let lift = told_lift(work, &rig, fade, &strip, (length_mm, speed, before_s), &ahead);
    step.title = step.title.replacen("Anodise", "Fade", 1);
    if let Some(set) = step.set.first_mut() {
        set.words = format!("{:.1} V rising to {:.1} V", rig.reading(lifted.first_v), rig.reading(ahead(1.0)));
    }
    step.todo.retain(|line| !line.starts_with("Set "));
    step.todo.extend([
        format!(
            "Hang the part so that the end called 0 leaves the bath first. All of it under the liquid: set {:.1} V and wait {before_s:.0} s.",
            rig.reading(lifted.first_v)
        ),
        format!(
            "Then lift at {speed:.2} mm/s while the voltage rises steadily to {:.1} V in {seconds:.0} s; by hand: pass each mark of the table at its time, with its volts on the meter.",
            rig.reading(ahead(1.0))
        ),
        "Lift by an insulated hook or a dry line, one hand, dry gloves, never by the clip or its lead: the supply is on. Go steadily: a pause draws a line. Switch off when the last end leaves the bath, then rinse.".to_owned(),
    ]);
    step.watch.push(format!(
        "What has left the bath keeps its colour; what is under it goes on. The last end passes {} on its way.",
        super::trace::in_order(&step.passed)
    ));
    step.stop = Some(format!("when the end called 100 leaves the bath, {seconds:.0} s after the lifting began"));
    rig.notes.push(format!(
        "reckoned in {SLICES} slices of equal area (exact for a dome or tube that is lifted along its axis, near for others); a wet film that clings above the waterline is left out"
    ));
    step.lift = Some(lift);
    step.notes = rig.notes;
    work.areas[area].along = Some(Strip { finish: growing, places });
    Ok(step)
}

/// The wanted colour that stands in this slice; ends belong to the first and last.
fn wanted_in<'f>(fade: &'f Fade, place: &Place, slice: usize, count: f64) -> Option<&'f crate::target::Target> {
    let width = 100.0 / count;
    fade.points
        .iter()
        .find(|p| {
            let inside = p.at >= place.at - 0.5 * width && p.at < place.at + 0.5 * width;
            inside || (p.at >= 100.0 && slice + 1 == SLICES)
        })
        .and_then(|p| p.wanted.as_ref())
}

/// Two digits, rounded down: what is told as fast enough must be.
fn rounded_down(value: f64) -> f64 {
    let unit = libm::pow(10.0, libm::log10(value).floor() - 1.0);
    (value / unit).floor() * unit
}

fn strip(work: &Work<'_>, finish: &library::FinishFile, grown: &[f64]) -> Result<Vec<(String, Lab)>, Stop> {
    let built = work.engine.build(finish)?;
    let seen = work.eye.see_turned(&built, finish.films.len() - 1, grown)?;
    Ok(seen.iter().map(|s| (work.engine.names().name(s.lab).to_owned(), s.lab)).collect())
}

fn told_lift(
    work: &Work<'_>,
    rig: &Rig<'_>,
    fade: &Fade,
    strip: &[(String, Lab)],
    (length_mm, speed, before_s): (f64, f64, f64),
    ahead: &impl Fn(f64) -> f64,
) -> Lift {
    const MARKS: u32 = 20;
    let seconds = length_mm / speed;
    let rise = fade.path.voltage_v(1.0) - fade.path.voltage_v(0.0);
    // About two volts a beat, as slow as a hand follows, and no longer a list than a page holds.
    let every = (2.0 * seconds / rise.max(1.0)).max(BEAT_S).max(seconds / MOST_BEATS);
    let step_v = rig.supply.and_then(|s| s.step_v);
    let beats = fade
        .path
        .beats(length_mm, seconds, every)
        .into_iter()
        .map(|b| BeatJson {
            second: b.second,
            lift_mm: b.lift_mm,
            voltage_v: rig.reading(ahead(b.lift_mm / length_mm)),
        })
        .collect();
    let at_mm: Vec<f64> = (0..=MARKS).map(|i| length_mm * f64::from(i) / f64::from(MARKS)).collect();
    let mut passes: Vec<String> = Vec::new();
    for (name, _) in strip {
        if passes.last() != Some(name) {
            passes.push(name.clone());
        }
    }
    let mut words =
        vec![format!("{length_mm:.0} mm in {seconds:.0} s: {speed:.2} mm/s, {:.2} V/s on average", rise / seconds)];
    if speed >= FASTEST_MM_PER_S - 1e-9 {
        words.push(format!("{FASTEST_MM_PER_S} mm/s is taken as the fastest steady lift"));
    }
    let lead = ahead(0.5) - fade.path.voltage_v(0.5);
    if lead > 0.2 && step_v.is_none() {
        words.push(format!(
            "the supply runs ahead of the film by what bath and leads take, {lead:.1} V in the middle; before the lifting starts it does not"
        ));
    }
    let pale: Vec<&str> =
        strip.iter().filter(|(_, lab)| libm::hypot(lab.a, lab.b) < PALE_CHROMA).map(|(n, _)| n.as_str()).collect();
    if !pale.is_empty()
        && !fade.points.iter().any(|p| p.wanted.as_ref().is_some_and(|w| libm::hypot(w.lab.a, w.lab.b) < PALE_CHROMA))
    {
        #[expect(clippy::cast_precision_loss, reason = "some tens")]
        let share = 100.0 * pale.len() as f64 / strip.len() as f64;
        words.push(format!(
            "the way must pass pale {} over {share:.0} % of the length: the film of one metal knows no shorter way between these colours",
            pale[pale.len() / 2]
        ));
    }
    if let Some(s) = step_v {
        words.push(format!("batteries rise in steps of {s} V: the fade shows bands; a variable resistor in series softens them (common practice)"));
    }
    let unmet = work.size.is_none();
    if unmet {
        words.push(
            "the speed holds for 1 cm2 without a limit of current: give the part, and it is that of the part"
                .to_owned(),
        );
    }
    Lift {
        length_mm,
        speed_mm_per_s: speed,
        seconds,
        before_s,
        voltage_v: at_mm.iter().map(|mm| rig.reading(ahead(mm / length_mm))).collect(),
        at_mm,
        beats,
        words,
        passes,
    }
}

/// How tall a part hangs, mm, where its shape says so.
fn height_mm(part: &PartFile) -> Option<f64> {
    let Extent::Shape(shape) = &part.extent else { return None };
    Some(match shape {
        ShapeSpec::Sheet { length_mm, .. } | ShapeSpec::Tube { length_mm, .. } | ShapeSpec::Wire { length_mm, .. } => {
            *length_mm
        }
        ShapeSpec::Dome { height_mm, .. } | ShapeSpec::Block { height_mm, .. } => *height_mm,
        ShapeSpec::Disc { diameter_mm, .. } | ShapeSpec::Sphere { diameter_mm } => *diameter_mm,
        ShapeSpec::Ring { outer_diameter_mm, .. } => *outer_diameter_mm,
    })
}
