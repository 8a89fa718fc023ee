//! A step in a coater: what is ordered, and how long it takes.

use super::answer::{Set, StepPlan};
use super::work::{Stop, Work, cannot};
use crate::matching::enumerate::{id_of, lay as lay_step};
use crate::matching::setting_words;
use crate::matching::step::{Chance, Setting, Step, THICKEST_NM};
use library::{Circumstance, CoaterFilm, CoaterKind, LaySpec};

pub(super) fn lay(work: &mut Work<'_>, number: usize, areas: &[usize], spec: &LaySpec) -> Result<StepPlan, Stop> {
    let route = if spec.kind == CoaterKind::Arc { "arc" } else { "sputter" };
    let film = spec.film.as_str();
    let Some(coater) = work.bench.coater(number, spec.machine.as_deref(), spec.kind, film)? else {
        let words = format!("no {route} coater of the workshop lays {film}");
        return Err(cannot(
            number,
            "coater",
            words,
            Some("[[coater]] with films = [...], or another route".to_owned()),
        ));
    };
    if coater.kind != spec.kind {
        let words = format!("{} is no machine for route = \"{route}\"", coater.name);
        let other = if spec.kind == CoaterKind::Arc { "sputter" } else { "arc" };
        return Err(cannot(number, "coater", words, Some(format!("route = \"{other}\""))));
    }
    let Some(laid) = coater.films.iter().find(|f| f.material == film) else {
        let known: Vec<&str> = coater.films.iter().map(|f| f.material.as_str()).collect();
        let words = format!("{} does not lay {film}; it lays {}", coater.name, known.join(", "));
        return Err(cannot(number, "coater", words, known.first().map(|k| format!("film = \"{k}\""))));
    };
    let Some(thickness_nm) =
        spec.thickness_nm.or(spec.seconds.zip(coater.rate_nm_per_min).map(|(s, rate)| s * rate / 60.0))
    else {
        let words = format!("how thick the film gets is not known: {} names no rate, or turns are given", coater.name);
        return Err(cannot(number, "coater", words, Some("thickness_nm = 30".to_owned())));
    };
    let thickest = coater.thickest_nm.unwrap_or(THICKEST_NM.max(coater.thinnest_nm));
    if thickness_nm < coater.thinnest_nm || thickness_nm > thickest {
        let words = format!(
            "{thickness_nm} nm: {} lays {} nm or more, and at most {thickest} nm",
            coater.name, coater.thinnest_nm
        );
        let nearest = thickness_nm.clamp(coater.thinnest_nm, thickest);
        return Err(cannot(number, "coater", words, Some(format!("thickness_nm = {nearest}"))));
    }
    if let (Some(given), Some(rate)) = (spec.seconds, coater.rate_nm_per_min) {
        let needed = 60.0 * thickness_nm / rate;
        if (given - needed).abs() > 0.01 * needed {
            let words = format!(
                "seconds = {given} and thickness_nm = {thickness_nm} do not go together: {} lays {rate} nm/min",
                coater.name
            );
            return Err(cannot(number, "coater", words, Some(format!("seconds = {needed:.1}"))));
        }
    }
    let covered = areas.iter().any(|i| !work.areas[*i].finish.over.is_empty());
    if covered {
        return Err(cannot(number, "metal", "a clear coat lies over it: take it off first".to_owned(), None));
    }
    let step =
        lay_step(work.engine, coater, &CoaterFilm { material: laid.material.clone(), composition: laid.composition });
    let setting = Setting { thickness_nm, composition: laid.composition.or(spec.composition) };
    let mut settings = step.settings(setting, 0.0);
    if let Some(hot) = spec.part_temperature_c {
        settings.retain(|(key, _)| *key != "part_temperature_c");
        settings.push(("part_temperature_c", hot));
    }
    let melts =
        id_of(&work.areas[areas[0]].finish.base.material).and_then(|id| work.engine.library().entry(id).ok()?.melts_c);
    let hot = settings.iter().find(|(key, _)| *key == "part_temperature_c").map(|(_, v)| *v);
    if let (Some(hot), Some(melts)) = (hot, melts)
        && hot >= melts
    {
        let words = format!("the part gets {hot} C hot; this metal melts from {melts} C");
        return Err(cannot(number, "metal", words, Some("a cooler cycle, or another route".to_owned())));
    }
    let more = Circumstance { materials: vec![film], settings: settings.clone(), ..Circumstance::default() };
    let cautions = work.cautions(route, &work.areas[areas[0]].finish, more);
    let seconds = match &step {
        Step::Lay { deposit, .. } => deposit.seconds(thickness_nm),
        _ => None,
    }
    .or(spec.seconds);
    let names: Vec<String> = areas.iter().map(|i| work.areas[*i].name.clone()).collect();
    let mut notes = Vec::new();
    if coater.repeatability == 0.0 {
        notes.push(format!("{} names no repeatability: chances are told as if it never strayed", coater.name));
    }
    for i in areas {
        let area = &mut work.areas[*i];
        step.apply(&mut area.finish, setting, Chance::default());
        area.keep(number, &step, setting);
        area.along = None;
    }
    let mut todo = vec![
        format!(
            "Order from {}: {thickness_nm:.0} nm of {film} on the parts, with a coupon of the same metal and surface beside them.",
            coater.name
        ),
        "Parts go in clean, dry and without fingerprints, in gloves; say where they may be held.".to_owned(),
    ];
    if names.len() < work.areas.len() {
        todo.push(format!("Only {} is coated: mask the rest.", names.join(" and ")));
    }
    Ok(StepPlan {
        number,
        kind: "route",
        route: route.to_owned(),
        title: format!("Lay {film} ({})", coater.name),
        areas: names,
        set: settings
            .into_iter()
            .map(|(key, value)| Set { key: key.to_owned(), value, words: setting_words(key, value), tightest: false })
            .collect(),
        todo,
        watch: vec!["Ask for the measured thickness of the coupon, and keep it with the record.".to_owned()],
        stop: None,
        seconds,
        cautions,
        notes,
        trace: None,
        passed: Vec::new(),
        lift: None,
        sizing: None,
        lasts: None,
    })
}
