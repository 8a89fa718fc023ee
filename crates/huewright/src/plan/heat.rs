//! A step of heat: in an oven through a programme, or with a flame.

use super::answer::{Lasts, Set, StepPlan};
use super::bench::PlanError;
use super::trace::{Row, in_order, passed, trace};
use super::work::{Place, Stop, Strip, Work, bears, cannot, colour_of};
use crate::chamber::instead::instead;
use crate::matching::enumerate::oxidised;
use crate::matching::process::heat_law;
use crate::matching::step::{Chance, Setting, Step, existing_nm};
use crate::matching::{LAND_DELTA_E, setting_words};
use crate::ribbon::material_word;
use crate::target::Target;
use colour::ciede2000;
use library::{Circumstance, FinishFile, HeatSpec, Oven, OxidationTable};
use routes::Draw;
use routes::heat::Heat;
use routes::programme::{Leg, Programme, Warm};

const ROOM_C: f64 = 20.0;
/// Time constants after which a part is cold.
const COLD_AFTER: f64 = 5.0;
/// Growth below this is none, nm.
const UNGROWN_NM: f64 = 0.05;
/// Pieces that each leg is reckoned in.
const PIECES: u32 = 120;

pub(super) fn heat(work: &mut Work<'_>, number: usize, areas: &[usize], spec: &HeatSpec) -> Result<StepPlan, Stop> {
    let oven = if spec.flame { None } else { work.bench.oven(number, spec.machine.as_deref())? };
    let first = work.areas[areas[0]].finish.clone();
    if let Some(coat) = first.over.first() {
        let words = format!("{} lies over it, and would burn", material_word(&coat.material));
        return Err(cannot(number, "metal", words, Some("a step with preparation = \"strip\" before it".to_owned())));
    }
    let (of, table) = met(work, number, &first)?;
    for i in areas {
        let other = met(work, number, &work.areas[*i].finish)?;
        if other.0 != of {
            let words = format!(
                "the heat meets {of} on '{}' and {} on '{}': they colour by different laws",
                work.areas[areas[0]].name, other.0, work.areas[*i].name
            );
            return Err(cannot(number, "metal", words, Some("a step of heat for each, with areas = [...]".to_owned())));
        }
    }
    if !spec.along.is_empty() && areas.len() != 1 {
        return Err(PlanError::FadeAreas { step: number }.into());
    }
    let Some(law) = table.law.clone() else {
        let words = format!("no rate of oxidation of {of} is known that could be trusted: {}", table.note);
        return Err(cannot(
            number,
            "law",
            words,
            Some("run one coupon first, and note temperature, minutes and colour".to_owned()),
        ));
    };
    let minutes = spec.minutes;
    let hottest = spec
        .along
        .iter()
        .map(|a| a.temperature_c)
        .chain(spec.temperature_c)
        // The reader has seen to it that there is one.
        .fold(ROOM_C, f64::max);
    if let Some(oven) = oven
        && hottest > oven.max_temperature_c
    {
        let words = format!("{hottest:.0} C: {} reaches {} C", oven.name, oven.max_temperature_c);
        let most = oven.max_temperature_c.min(law.valid_c[1]);
        let nearest = if most >= law.valid_c[0] {
            format!("temperature_c = {most}")
        } else {
            format!("an oven that reaches {} C or more: the rate of {of} is known from there on", law.valid_c[0])
        };
        return Err(cannot(number, "oven", words, Some(nearest)));
    }
    if hottest > law.valid_c[1] || hottest < law.valid_c[0] {
        let words = format!(
            "{hottest:.0} C: the rate of {of} is known between {:.0} and {:.0} C only ({})",
            law.valid_c[0], law.valid_c[1], law.status
        );
        return Err(cannot(
            number,
            "law",
            words,
            Some(format!("temperature_c = {:.0}", hottest.clamp(law.valid_c[0], law.valid_c[1]))),
        ));
    }
    let heat = heat_law(&table, &law, oven.map_or(0.0, |o| o.repeatability_c));
    let programme = programme(spec, hottest, minutes);
    let equal = programme.equal_minutes(&heat, law.valid_c[0]);
    if equal < law.valid_minutes[0] * 0.999 || equal > law.valid_minutes[1] * 1.001 {
        let words = format!(
            "the programme grows as much as {equal:.1} min at {hottest:.0} C; the rate is known for {} to {} min",
            law.valid_minutes[0], law.valid_minutes[1]
        );
        let allowed = if equal < law.valid_minutes[0] { law.valid_minutes[0] } else { law.valid_minutes[1] };
        return Err(cannot(number, "law", words, Some(nearest_minutes(spec, hottest, &heat, law.valid_c[0], allowed))));
    }
    let step = Step::Heat {
        oven: oven.cloned().unwrap_or_else(|| Oven {
            name: if spec.flame { "a flame".to_owned() } else { "the oven".to_owned() },
            max_temperature_c: law.valid_c[1],
            repeatability_c: 0.0,
            spread: 0.0,
        }),
        of: of.clone(),
        table: table.clone(),
        law: law.clone(),
        heat,
    };
    let mut told = told(work, number, areas, spec, &step, (hottest, minutes));
    told.notes.push(format!(
        "{of}: {}; thickness is known within a factor of {}: run one coupon first",
        law.status, law.factor
    ));
    told.notes.push(table.note.clone());
    if !spec.assumed.is_empty() {
        told.notes.push(format!(
            "taken, as the recipe does not say: the part warms by {} C/min and cools with a time constant of {} min, put into the oven at its heat and taken out of it",
            spec.ramp_c_per_min, spec.cool_minutes
        ));
    }
    let cold = spec.along.iter().any(|a| a.temperature_c < law.valid_c[0]);
    if cold {
        told.notes.push(format!(
            "part of the gradient stays below {:.0} C, where no rate is known: it is drawn without oxide, though it may well colour",
            law.valid_c[0]
        ));
    }
    told.notes.push(format!("below {:.0} C the law is not carried, and no growth is counted", law.valid_c[0]));
    let existing = existing_nm(&first, &table.film);
    let course = programme.course(&heat, law.valid_c[0], existing, Draw::default(), PIECES);
    let places = (!spec.along.is_empty()).then(|| gradient(spec, minutes, &heat, law.valid_c[0], existing));
    for i in areas {
        let there = existing_nm(&work.areas[*i].finish, &table.film);
        let nm = programme
            .course(&heat, law.valid_c[0], there, Draw::default(), PIECES)
            .last()
            .map_or(there, |w| w.thickness_nm);
        // Of a gradient, the middle stands for the area.
        let nm = places.as_ref().map_or(nm, |p: &Vec<Place>| p[p.len() / 2].thickness_nm);
        if !oxidise(work, *i, number, &step, nm) {
            let words = format!(
                "the oxide would use up the {of} under it: {nm:.0} nm of oxide need {:.0} nm of it",
                (nm - there) * table.consumed
            );
            return Err(cannot(
                number,
                "metal",
                words,
                Some("a shorter or cooler step, or a thicker film below".to_owned()),
            ));
        }
    }
    let mut growing = first;
    grown(&mut growing, &step, course.last().map_or(existing, |w| w.thickness_nm));
    let rows: Vec<Row> = course
        .iter()
        .map(|w| Row {
            time_s: w.time_s,
            thickness_nm: w.thickness_nm,
            temperature_c: Some(w.temperature_c),
            ..Row::default()
        })
        .collect();
    let through = trace(work, &growing, &rows)?;
    told.passed = passed(&through);
    told.seconds = through.time_s.last().copied();
    told.trace = Some(through);
    told.watch.push(format!("Colours come in this order: {}.", in_order(&told.passed)));
    let wanted = work.areas[areas[0]].wanted.clone();
    told.lasts = lasts(work, &growing, &course, &programme, (&heat, law.valid_c), wanted.as_ref());
    told.stop = Some(stop_words(&told, &programme, spec));
    if let Some(words) = carry_on(work, &growing, &course, &programme) {
        told.watch.push(words);
    }
    told.notes.extend(instead(work.engine, &work.eye, &work.areas[areas[0]].finish)?);
    if let Some(places) = places {
        work.areas[areas[0]].along = Some(Strip { finish: growing, places });
    }
    Ok(told)
}

/// What the heat meets, or why it makes no colour that is known.
fn met(work: &Work<'_>, number: usize, finish: &FinishFile) -> Result<(String, OxidationTable), Stop> {
    oxidised(work.engine, finish).map(|(of, table)| (of, table.clone())).ok_or_else(|| {
        let what = finish.films.last().map_or(&finish.base.material, |f| &f.material);
        let words = format!("no rate of oxidation is known for {} in air", material_word(what));
        cannot(number, "law", words, Some("run one coupon first".to_owned()))
    })
}

fn programme(spec: &HeatSpec, peak_c: f64, minutes: f64) -> Programme {
    let (rise, cool_s) = (spec.ramp_c_per_min, 60.0 * spec.cool_minutes);
    Programme {
        from_c: ROOM_C,
        legs: vec![
            Leg::Ramp { to_c: peak_c, seconds: 60.0 * (peak_c - ROOM_C).max(0.0) / rise },
            Leg::Hold { seconds: 60.0 * minutes },
            Leg::Cool { room_c: ROOM_C, constant_s: cool_s, seconds: COLD_AFTER * cool_s },
        ],
    }
}

/// The hold that grows as much as `allowed` minutes at the hottest temperature, ramp and cooling included.
fn nearest_minutes(spec: &HeatSpec, hottest: f64, heat: &Heat, from_law_c: f64, allowed: f64) -> String {
    let equal = |minutes: f64| programme(spec, hottest, minutes).equal_minutes(heat, from_law_c);
    if equal(0.0) > allowed {
        return "a quicker rise (ramp_c_per_min) or quicker cooling (cool_minutes): they alone grow more".to_owned();
    }
    // What a minute of hold adds is a minute: the rest is what ramp and cooling add.
    let minutes = allowed - equal(0.0);
    // Rounded towards the inside of what is allowed.
    let tenths = if equal(spec.minutes) < allowed { (10.0 * minutes).ceil() } else { (10.0 * minutes).floor() };
    format!("minutes = {}", tenths / 10.0)
}

fn grown(finish: &mut FinishFile, step: &Step, thickness_nm: f64) -> bool {
    step.apply(finish, Setting { thickness_nm, composition: None }, Chance::default())
}

/// Puts the oxide on an area.
fn oxidise(work: &mut Work<'_>, area: usize, number: usize, step: &Step, thickness_nm: f64) -> bool {
    let area = &mut work.areas[area];
    if thickness_nm - existing_nm(&area.finish, step.film()) < UNGROWN_NM {
        return true;
    }
    if !grown(&mut area.finish, step, thickness_nm) {
        return false;
    }
    area.keep(number, step, Setting { thickness_nm, composition: None });
    area.along = None;
    true
}

fn told(
    work: &Work<'_>,
    number: usize,
    areas: &[usize],
    spec: &HeatSpec,
    step: &Step,
    (hottest, minutes): (f64, f64),
) -> StepPlan {
    let finish = &work.areas[areas[0]].finish;
    let more = Circumstance {
        materials: vec![step.film()],
        settings: vec![("temperature_c", hottest), ("minutes", minutes)],
        ..Circumstance::default()
    };
    let set =
        |key: &str, value: f64| Set { key: key.to_owned(), value, words: setting_words(key, value), tightest: false };
    let mut todo =
        vec!["Degrease the part and touch it no more: a fingerprint shows as a colour of its own.".to_owned()];
    if spec.flame {
        todo.push("Keep the flame moving, and heat from below or behind, so that the colour comes evenly; have an eye on the coolest and the hottest place.".to_owned());
    } else {
        todo.push(if spec.assumed.contains(&"ramp_c_per_min") {
            format!("Into the oven when it stands at {hottest:.0} C, with tongs; {minutes:.0} min from when the part is as hot, then out onto a clean brick.")
        } else {
            format!("Into the cold oven, up by {} C/min to {hottest:.0} C, {minutes:.0} min there, then cooling as the recipe says.", spec.ramp_c_per_min)
        });
    }
    todo.push("Do not quench: let it cool in still air.".to_owned());
    StepPlan {
        number,
        kind: "route",
        route: "heat".to_owned(),
        title: format!("Heat in air ({})", step.machine()),
        areas: areas.iter().map(|i| work.areas[*i].name.clone()).collect(),
        set: vec![set("temperature_c", hottest), set("minutes", minutes)],
        todo,
        watch: Vec::new(),
        stop: None,
        seconds: None,
        cautions: work.cautions("heat", finish, more),
        notes: Vec::new(),
        trace: None,
        passed: Vec::new(),
        lift: None,
        sizing: None,
        lasts: None,
        chamber: None,
    }
}

/// How long the wanted colour stays, at the hottest temperature: within the landing limit, or as long as it bears the trade
/// word that was asked for.
fn lasts(
    work: &Work<'_>,
    finish: &FinishFile,
    course: &[Warm],
    programme: &Programme,
    (heat, law_c): (&Heat, [f64; 2]),
    wanted: Option<&Target>,
) -> Option<Lasts> {
    let end = course.last()?.thickness_nm;
    let target = wanted.map(|t| t.lab).or_else(|| colour_of(work, finish))?;
    let stays = |nm: f64| {
        let mut f = finish.clone();
        if let Some(top) = f.films.last_mut() {
            top.thickness_nm = nm;
        }
        colour_of(work, &f).is_some_and(|lab| {
            ciede2000(lab, target) <= LAND_DELTA_E || wanted.is_some_and(|t| bears(work.engine, t, lab))
        })
    };
    if !stays(end) {
        let words =
            format!("the programme ends outside the wanted colour{}", nearer(&stays, course, programme, (heat, law_c)));
        return Some(Lasts { seconds: 0.0, words });
    }
    let edge = |step: f64| {
        let mut nm = end;
        while stays(nm + step) && nm + step > 0.0 && (nm - end).abs() < 500.0 {
            nm += step;
        }
        nm
    };
    let (low, high) = (edge(-0.25).max(0.0), edge(0.25));
    let hottest = programme.hottest_c();
    let seconds = (high * high - low * low) / heat.rate_nm2_per_s(hottest);
    let left = (high * high - end * end) / heat.rate_nm2_per_s(hottest);
    Some(Lasts {
        seconds,
        words: format!(
            "at {hottest:.0} C the colour lasts {} ({low:.0} to {high:.0} nm), of which {} are left when the hold ends",
            long(seconds),
            long(left)
        ),
    })
}

/// Where the wanted colour lies, when the programme misses it: the temperature that would end in its middle.
fn nearer(
    stays: &impl Fn(f64) -> bool,
    course: &[Warm],
    programme: &Programme,
    (heat, [from_law_c, most_c]): (&Heat, [f64; 2]),
) -> String {
    const STEP_NM: f64 = 0.5;
    const MOST_NM: u32 = 600;
    let Some(start) = course.first().map(|w| w.thickness_nm) else { return String::new() };
    let mut found: Vec<f64> = (0..MOST_NM).map(|i| start + STEP_NM * f64::from(i)).filter(|nm| stays(*nm)).collect();
    let Some(begun) = found.first().copied() else { return ": no thickness of this oxide gives it".to_owned() };
    // The first run of thicknesses alone.
    found.retain(|nm| *nm < begun + 60.0);
    let middle = found[found.len() / 2];
    // As long, by the part of the programme that counts.
    let minutes = programme.equal_minutes(heat, from_law_c);
    let Some(there) = heat.temperature_c(middle, minutes, start) else { return String::new() };
    if there > most_c {
        return format!("; it lies beyond {most_c:.0} C, where the rate is not known: a longer time, if any");
    }
    format!("; about {there:.0} C for the same time would end in it ({middle:.0} nm)")
}

fn long(seconds: f64) -> String {
    if seconds >= 120.0 { format!("{:.0} min", seconds / 60.0) } else { format!("{seconds:.0} s") }
}

/// A cue for eyes: what has just gone and what would come next.
fn stop_words(step: &StepPlan, programme: &Programme, spec: &HeatSpec) -> String {
    let hold_ends = programme.legs.iter().take(2).map(|l| match l {
        Leg::Ramp { seconds, .. } | Leg::Hold { seconds } | Leg::Cool { seconds, .. } => *seconds,
    });
    let ends_s: f64 = hold_ends.sum();
    let now = step.passed.iter().position(|p| p.from_s <= ends_s && ends_s < p.to_s);
    let before = now.and_then(|i| i.checked_sub(1)).and_then(|i| step.passed.get(i));
    let mut words = format!(
        "{} after {} at temperature",
        if spec.flame { "take the flame away" } else { "end the hold" },
        long(60.0 * spec.minutes)
    );
    if let (Some(i), Some(before)) = (now, before)
        && ends_s - step.passed[i].from_s >= 1.0
    {
        words.push_str(&format!(
            "; for eyes: {} came {} before, after {}",
            step.passed[i].name,
            long(ends_s - step.passed[i].from_s),
            before.name
        ));
    }
    words
}

/// What grows after the flame has left.
fn carry_on(work: &Work<'_>, finish: &FinishFile, course: &[Warm], programme: &Programme) -> Option<String> {
    let cool = programme.legs.last()?;
    let Leg::Cool { seconds, .. } = cool else { return None };
    let ends = programme.seconds() - seconds;
    let held = course.iter().rev().find(|w| w.time_s <= ends + 1e-6)?.thickness_nm;
    let end = course.last()?.thickness_nm;
    let mut earlier = finish.clone();
    earlier.films.last_mut()?.thickness_nm = held;
    let (before, after) = (colour_of(work, &earlier)?, colour_of(work, finish)?);
    let name = |lab| work.engine.names().name(lab).to_owned();
    let moved = ciede2000(before, after);
    Some(format!(
        "While it cools, the oxide grows from {held:.1} to {end:.1} nm: the colour carries on by {moved:.1} (CIEDE2000), from {} to {}.",
        name(before),
        name(after)
    ))
}

/// The film along a part that is hotter at one end.
fn gradient(spec: &HeatSpec, minutes: f64, heat: &Heat, from_law_c: f64, existing: f64) -> Vec<Place> {
    const PLACES: u32 = 40;
    let mut points: Vec<(f64, f64)> = spec.along.iter().map(|a| (a.at, a.temperature_c)).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let at_place = |at: f64| {
        let mut here = points.first().map_or(ROOM_C, |p| p.1);
        for w in points.windows(2) {
            if at >= w[0].0 {
                let width = w[1].0 - w[0].0;
                let share = if width > 0.0 { ((at - w[0].0) / width).min(1.0) } else { 1.0 };
                here = w[0].1 + share * (w[1].1 - w[0].1);
            }
        }
        here
    };
    (0..PLACES)
        .map(|i| {
            let at = 100.0 * (f64::from(i) + 0.5) / f64::from(PLACES);
            let course =
                programme(spec, at_place(at), minutes).course(heat, from_law_c, existing, Draw::default(), PIECES);
            Place {
                at,
                thickness_nm: course.last().map_or(existing, |w| w.thickness_nm),
                voltage_v: None,
                wanted: None,
            }
        })
        .collect()
}
