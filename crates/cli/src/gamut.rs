//! `huewright gamut`.

use crate::arguments::GamutArgs;
use crate::input;
use crate::matching::progress;
use crate::outcome::{Failure, Outcome};
use crate::paint::{self, Painter, say, wrapped};
use crate::pictures;
use desk::gamut_figure;
use huewright::Engine;
use huewright::gamut::{Gamut, GamutRequest, Kind, Reached, Spot, any_workshop, gamut, why};
use huewright::matching::settings_words;
use std::path::Path;

pub(crate) fn run(engine: &Engine, a: &GamutArgs) -> Result<Outcome, Failure> {
    let conditions = input::conditions(&a.view)?;
    let workshops = match &a.workshop {
        Some(path) => vec![input::workshop(engine, path)?],
        None => any_workshop(engine),
    };
    let from = a.from.as_deref().map(|p| input::finish(engine, p)).transpose()?;
    let target = a.colour.as_deref().map(|c| input::target(engine, c, &conditions)).transpose()?;
    if let Some(picture) = &a.picture {
        let read = [a.workshop.as_deref(), a.from.as_deref(), a.colour.as_deref().map(Path::new)];
        let read = read.into_iter().flatten().chain([Path::new(&a.view.light)]);
        input::apart(&[picture], &read.collect::<Vec<_>>())?;
    }
    let request = GamutRequest { target, workshops: &workshops, from: from.as_ref() };
    let found = gamut(engine, &request, &conditions, progress)?;
    let outcome = if found.kinds.is_empty() { Outcome::NoAnswer } else { Outcome::Done };
    let sources = if a.show.why { why(engine, &request, &conditions) } else { Vec::new() };
    if let Some(path) = &a.picture {
        pictures::write(path, &gamut_figure(&found, &shop_words(a, &workshops), &conditions).svg())?;
    }
    if a.show.json {
        let mut json = serde_json::to_value(&found).map_err(|e| Failure::Words(e.to_string()))?;
        if a.show.why {
            json["why"] = serde_json::to_value(&sources).map_err(|e| Failure::Words(e.to_string()))?;
        }
        say(json.to_string())?;
        return Ok(outcome);
    }
    print(&found, a, Painter::new(a.show.swatches))?;
    if let Some(path) = &a.picture {
        say(format!("  written: {}", path.display()))?;
    }
    if a.show.why {
        paint::sources(&sources)?;
    }
    Ok(outcome)
}

/// Whose reach it is.
fn shop_words(a: &GamutArgs, workshops: &[library::WorkshopFile]) -> String {
    if a.workshop.is_none() {
        return "the library".to_owned();
    }
    workshops.first().and_then(|w| w.name.clone()).unwrap_or_else(|| "this workshop".to_owned())
}

fn print(found: &Gamut, a: &GamutArgs, paint: Painter) -> Result<(), Failure> {
    if let Some(target) = &found.target {
        say(format!(
            "Wanted: {} {}  {}  ({})",
            paint.patch(&target.shown.srgb, 8),
            target.given,
            paint::lab(target.lab),
            target.shown.name
        ))?;
    }
    if a.workshop.is_none() {
        say("Without --workshop: whatever the library can grow or lay, on bare mirrors.")?;
    }
    paint::notes(&found.notes)?;
    if found.kinds.is_empty() {
        say("")?;
        say("No route of this workshop makes any colour.")?;
    }
    if found.target.is_some() {
        say("")?;
        say("Greatest chroma at the wanted hue and lightness (within 10 degrees, 10 of L*)")?;
        for (letter, kind) in ('A'..='Z').zip(&found.kinds) {
            let there = best(found, kind, 1).first().and_then(|w| w.most_vivid_at_hue.as_ref());
            let words = there.map_or_else(
                || "none".to_owned(),
                |s| format!("{:.0}  {} {}", s.chroma, paint.patch(&s.shown.srgb, 6), s.shown.name),
            );
            say(format!("  {letter}. {:<34} {words}", kind.title))?;
        }
    }
    for (letter, kind) in ('A'..='Z').zip(&found.kinds) {
        say("")?;
        print_kind(found, letter, kind, a.most, paint)?;
    }
    let out: Vec<&Reached> = found.ways.iter().filter(|w| !w.why_not.is_empty()).collect();
    if !out.is_empty() {
        say("")?;
        say("What is ruled out, and why")?;
        for way in &out {
            say(format!("  {}", way.title))?;
            for reason in &way.why_not {
                say(wrapped(reason, 6, 96))?;
            }
        }
    }
    print_cautions(found, a.most)
}

/// The ways of a kind that are worth a line: nearest to the wanted colour, or most vivid.
fn best<'g>(found: &'g Gamut, kind: &Kind, most: usize) -> Vec<&'g Reached> {
    let mut ways: Vec<&Reached> = kind.ways.iter().map(|i| &found.ways[*i]).collect();
    let vivid = |w: &Reached| w.most_vivid.as_ref().map_or(0.0, |s| s.chroma);
    let far = |w: &Reached| w.nearest.as_ref().and_then(|s| s.delta_e).unwrap_or(0.0);
    let at_hue = |w: &Reached| w.most_vivid_at_hue.as_ref().map_or(0.0, |s| s.chroma);
    ways.sort_by(|a, b| {
        let by_colour = at_hue(b).total_cmp(&at_hue(a)).then(far(a).total_cmp(&far(b)));
        if found.target.is_some() { by_colour } else { vivid(b).total_cmp(&vivid(a)) }
    });
    ways.truncate(most);
    ways
}

fn print_kind(found: &Gamut, letter: char, kind: &Kind, most: usize, paint: Painter) -> Result<(), Failure> {
    let many = if kind.ways.len() == 1 { "1 way".to_owned() } else { format!("{} ways", kind.ways.len()) };
    say(format!("{letter}. {} ({many})", kind.title))?;
    let top = found.ways[kind.most_vivid_way].most_vivid.as_ref();
    if let Some(spot) = top {
        say(format!(
            "   most vivid {} {}, chroma {:.0}; covers {:.0} squared units of a*, b*",
            paint.patch(&spot.shown.srgb, 6),
            spot.shown.name,
            spot.chroma,
            kind.area
        ))?;
    }
    if paint.draws() {
        let cells: String = kind
            .hues
            .iter()
            .enumerate()
            .map(|(s, way)| {
                let hue = way.and_then(|w| found.ways[w].hues.get(s)?.as_ref());
                hue.map_or_else(|| "  ".to_owned(), |h| paint.patch(&h.spot.shown.srgb, 2))
            })
            .collect();
        say(format!("   hue 0 {cells} 360"))?;
    }
    let gaps: Vec<String> = kind.gaps_deg.iter().map(|[from, to]| gap_words(*from, *to)).collect();
    say(format!("   hues without colour: {}", if gaps.is_empty() { "none".to_owned() } else { gaps.join(", ") }))?;
    let missing = if kind.names_missing.is_empty() { "none".to_owned() } else { kind.names_missing.join(", ") };
    say(wrapped(&format!("words it never earns: {missing}"), 3, 98))?;
    for way in best(found, kind, most) {
        print_way(found, way, paint)?;
    }
    Ok(())
}

fn gap_words(from: f64, to: f64) -> String {
    if to - from >= 360.0 { "all".to_owned() } else { format!("{from:.0} to {:.0}\u{b0}", to.rem_euclid(360.0)) }
}

fn print_way(found: &Gamut, way: &Reached, paint: Painter) -> Result<(), Failure> {
    say(format!("   - {}", way.title))?;
    let line = |what: &str, spot: &Spot| {
        let off = spot.delta_e.map_or(String::new(), |d| format!(", difference {d:.1}"));
        say(wrapped(
            &format!(
                "{what} {} {}, chroma {:.0}, L* {:.0}{off}: {}",
                paint.patch(&spot.shown.srgb, 6),
                spot.shown.name,
                spot.chroma,
                spot.lab[0],
                settings_words(&spot.steps)
            ),
            5,
            96,
        ))
    };
    if found.target.is_some() {
        if let Some(spot) = &way.nearest {
            line("nearest", spot)?;
        }
        if let Some(spot) = &way.most_vivid_at_hue {
            line("most vivid at this hue and lightness", spot)?;
        }
    } else if let Some(spot) = &way.most_vivid {
        line("most vivid", spot)?;
    }
    for reason in &way.reasons {
        say(wrapped(&format!("why: {reason}"), 5, 96))?;
    }
    if !way.stand_ins.is_empty() {
        let ids = way.stand_ins.join(", ");
        say(wrapped(&format!("stand-in numbers: {ids} (a model in place of a missing table)"), 5, 96))?;
    }
    Ok(())
}

/// Cautions of the ways that were printed, with the letters of their kinds.
fn print_cautions(found: &Gamut, most: usize) -> Result<(), Failure> {
    let mut told: Vec<(&str, &str, &str, String)> = Vec::new();
    for (letter, kind) in ('A'..='Z').zip(&found.kinds) {
        for caution in best(found, kind, most).into_iter().flat_map(|way| &way.cautions) {
            match told.iter_mut().find(|t| t.0 == caution.id) {
                Some(t) if t.3.ends_with(letter) => {}
                Some(t) => t.3.push_str(&format!(", {letter}")),
                None => told.push((&caution.id, &caution.text, &caution.source, letter.to_string())),
            }
        }
    }
    if told.is_empty() {
        return Ok(());
    }
    say("")?;
    say("Cautions (local codes and licensed practice come first)")?;
    for (_, text, source, letters) in told {
        say(wrapped(&format!("{text} [{letters}; {source}]"), 2, 98))?;
    }
    Ok(())
}
