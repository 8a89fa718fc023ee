//! What a coater cannot do, why, and the nearest that it can.

use super::work::{Stop, Work, cannot, colour_of};
use crate::matching::enumerate::lay as lay_step;
use crate::matching::step::{Chance, Setting, THICKEST_NM};
use colour::ciede2000;
use library::{Coater, CoaterFilm, CoaterKind, LaySpec};

/// The machine of a step, and the film as it lays it.
pub(super) fn pick<'w>(
    work: &Work<'w>,
    number: usize,
    route: &str,
    spec: &LaySpec,
) -> Result<(&'w Coater, &'w CoaterFilm), Stop> {
    let film = spec.film.as_str();
    let Some(coater) = work.bench.coater(number, spec.machine.as_deref(), spec.kind, film)? else {
        let words = format!("no {route} coater of the workshop lays {film}");
        let nearest = "[[coater]] with films = [...], or another route".to_owned();
        return Err(cannot(number, "coater", words, Some(nearest)));
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
    Ok((coater, laid))
}

/// Thicknesses that the machine does not lay, times that do not go with them, and coats in the way.
pub(super) fn beyond(
    work: &Work<'_>,
    number: usize,
    areas: &[usize],
    coater: &Coater,
    (spec, laid): (&LaySpec, &CoaterFilm),
    (thickness_nm, composition): (f64, Option<f64>),
) -> Result<Option<Stop>, Stop> {
    let thickest = coater.thickest_nm.unwrap_or(THICKEST_NM.max(coater.thinnest_nm));
    if thickness_nm < coater.thinnest_nm || thickness_nm > thickest {
        let nearest = thickness_nm.clamp(coater.thinnest_nm, thickest);
        let words = format!(
            "{thickness_nm:.1} nm: {} lays {} nm or more, and at most {thickest} nm{}",
            coater.name,
            coater.thinnest_nm,
            would_look(work, areas[0], coater, laid, Setting { thickness_nm: nearest, composition })
        );
        return Ok(Some(cannot(number, "coater", words, Some(format!("thickness_nm = {nearest}")))));
    }
    if let (Some(given), Some(_), Some(rate)) = (spec.seconds, spec.thickness_nm, coater.rate_nm_per_min) {
        let needed = 60.0 * thickness_nm / rate;
        if (given - needed).abs() > 0.01 * needed {
            let words = format!(
                "seconds = {given} and thickness_nm = {thickness_nm} do not go together: {} lays {rate} nm/min",
                coater.name
            );
            return Ok(Some(cannot(number, "coater", words, Some(format!("seconds = {needed:.1}")))));
        }
    }
    if areas.iter().any(|i| !work.areas[*i].finish.over.is_empty()) {
        return Ok(Some(cannot(number, "metal", "a clear coat lies over it: take it off first".to_owned(), None)));
    }
    Ok(None)
}

/// What the nearest that the machine does would look like.
fn would_look(work: &Work<'_>, area: usize, coater: &Coater, laid: &CoaterFilm, setting: Setting) -> String {
    let area = &work.areas[area];
    let mut finish = area.finish.clone();
    let step = lay_step(work.engine, coater, laid);
    if !step.apply(&mut finish, setting, Chance::default()) {
        return String::new();
    }
    let Some(lab) = colour_of(work, &finish) else { return String::new() };
    let off = area
        .wanted
        .as_ref()
        .map_or(String::new(), |t| format!(", {:.1} (CIEDE2000) from what is wanted", ciede2000(lab, t.lab)));
    format!("; at {} nm it would be {} (L* {:.0}){off}", setting.thickness_nm, work.engine.names().name(lab), lab.l)
}
