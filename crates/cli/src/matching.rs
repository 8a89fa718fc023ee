//! `huewright match`.

use crate::arguments::MatchArgs;
use crate::input;
use crate::outcome::{Failure, Outcome};
use crate::paint::{self, Painter, say, wrapped};
use crate::pictures;
use desk::board;
use huewright::Engine;
use huewright::matching::{DRIFT_TILTS_DEG, Match, MatchRequest, Way, match_colour, odds_words, why};
use serde_json::Value;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

pub(crate) fn run(engine: &Engine, a: &MatchArgs) -> Result<Outcome, Failure> {
    let conditions = input::conditions(&a.view)?;
    let workshop = input::workshop(engine, &a.workshop)?;
    let from = a.from.as_deref().map(|p| input::finish(engine, p)).transpose()?;
    let target = input::target(engine, &a.colour, &conditions)?;
    let request = MatchRequest { target, workshop: &workshop, from: from.as_ref() };
    let save = a.save.as_ref().map(|s| save_arguments(s)).transpose()?;
    let out: Vec<&Path> = a.picture.iter().map(PathBuf::as_path).chain(save.map(|(_, p)| Path::new(p))).collect();
    let given = [a.workshop.as_path(), Path::new(&a.colour), Path::new(&a.view.light)];
    input::apart(&out, &given.into_iter().chain(a.from.as_deref()).collect::<Vec<_>>())?;
    let found = match_colour(engine, &request, &conditions, progress)?;
    let sources = if a.show.why { why(engine, &request, &conditions) } else { Vec::new() };
    let outcome = if found.ways.iter().any(|w| w.feasible) { Outcome::Done } else { Outcome::NoAnswer };
    // Kept first: a reader that goes away loses nothing.
    let mut saved = None;
    if let Some(path) = &a.picture {
        pictures::write(path, &board(&found, a.most, &conditions).svg())?;
    }
    if let (Some((n, path)), Outcome::Done) = (save, outcome) {
        let text = recipe(&found, n)?;
        input::write(Path::new(path), text.as_bytes())?;
        saved = Some(format!("Recipe of way {n} written to {path}"));
    }
    if a.show.json {
        let mut json = serde_json::to_value(&found).map_err(|e| Failure::Words(e.to_string()))?;
        if a.show.why {
            json["why"] = serde_json::to_value(&sources).map_err(|e| Failure::Words(e.to_string()))?;
        }
        say(json.to_string())?;
    } else {
        print(&found, a.most, Painter::new(a.show.swatches))?;
        if a.show.why {
            paint::sources(&sources)?;
        }
    }
    if let (Some(words), false) = (saved, a.show.json) {
        say(words)?;
    }
    Ok(outcome)
}

fn save_arguments(save: &[String]) -> Result<(usize, &String), Failure> {
    let n = save[0].parse().ok().filter(|n| *n > 0).ok_or_else(|| {
        Failure::Words(format!("--save: '{}' is not the number of a way; give 1, 2, ... and a file", save[0]))
    })?;
    Ok((n, &save[1]))
}

fn recipe(found: &Match, n: usize) -> Result<String, Failure> {
    let feasible = found.ways.iter().filter(|w| w.feasible).count();
    found.ways.get(n - 1).and_then(|way| way.recipe.clone()).ok_or_else(|| {
        Failure::Words(format!("--save: way {n} cannot be kept; there are {feasible} feasible ways, numbered from 1"))
    })
}

/// A line that grows on a terminal, so that a person sees the work going on.
pub(crate) fn progress(done: usize, of: usize) {
    let mut err = std::io::stderr();
    if !err.is_terminal() {
        return;
    }
    let line = if done < of {
        format!("\r  trying way {} of {of} ", done + 1)
    } else {
        "\r                              \r".to_owned()
    };
    let _ = err.write_all(line.as_bytes()).and_then(|()| err.flush());
}

/// Ways that are told in one line each, after those that are told in full.
const LINES: usize = 12;

/// Prints the answer for a person.
pub(crate) fn print(found: &Match, most: usize, paint: Painter) -> Result<(), Failure> {
    say(format!(
        "Wanted: {} {}  {}  ({})",
        paint.patch(&found.target.shown.srgb, 8),
        found.target.given,
        paint::lab(found.target.lab),
        found.target.shown.name
    ))?;
    paint::notes(&found.notes)?;
    let feasible: Vec<&Way> = found.ways.iter().filter(|w| w.feasible).collect();
    say("")?;
    if feasible.is_empty() {
        say("No way of this workshop reaches it.")?;
    } else {
        say(format!("Ways, the likeliest first ({} of {})", feasible.len().min(most), feasible.len()))?;
    }
    for (i, way) in feasible.iter().take(most).enumerate() {
        print_way(found, i + 1, way, paint)?;
    }
    if feasible.len() > most {
        say("")?;
        say("  and, less likely")?;
        for (i, way) in feasible.iter().enumerate().skip(most).take(LINES) {
            let chance = 100.0 * way.chance.unwrap_or(0.0);
            say(format!("  {:>2}. {}: chance {chance:.0} %", i + 1, way.title))?;
        }
    }
    let (named, out): (Vec<&Way>, Vec<&Way>) = found.ways.iter().filter(|w| !w.feasible).partition(|w| {
        !w.steps.iter().any(|s| s["settings"] == Value::Object(serde_json::Map::new()))
            && w.name.as_deref() == Some(found.target.shown.name.as_str())
            && w.why_not.iter().any(|r| r.contains("the nearest it can do"))
    });
    if !named.is_empty() {
        say("")?;
        say(format!(
            "Would bear the word {}, but differ from what was asked by more than 5 (CIEDE2000)",
            found.target.shown.name
        ))?;
        for way in named.iter().take(most) {
            say(format!(
                "  {} {}: {}, difference {:.1}",
                paint.patch(way.srgb.as_deref().unwrap_or("#000000"), 6),
                way.title,
                way.set,
                way.delta_e.unwrap_or(f64::NAN)
            ))?;
        }
    }
    if !out.is_empty() {
        say("")?;
        say(format!("What cannot be done, and why ({} of {})", out.len().min(most), out.len()))?;
        for way in out.iter().take(most) {
            say(format!("  {}", way.title))?;
            for reason in &way.why_not {
                say(wrapped(reason, 6, 96))?;
            }
        }
    }
    if !found.options.is_empty() {
        say("")?;
        say("From the part as it is")?;
        for option in &found.options {
            say(wrapped(&format!("{}: {}", option.kind, option.words), 2, 98))?;
        }
    }
    print_films(&feasible, most)?;
    print_cautions(&feasible, most)
}

/// What the ids of the films mean: `tin` is no tin.
fn print_films(feasible: &[&Way], most: usize) -> Result<(), Failure> {
    let mut told: Vec<String> = Vec::new();
    for step in feasible.iter().take(most).flat_map(|w| &w.steps) {
        if let (Some(id), Some(words)) = (step["film"].as_str(), step["film_words"].as_str()) {
            let line = format!("{id}: {words}");
            if !told.contains(&line) {
                told.push(line);
            }
        }
    }
    if told.is_empty() {
        return Ok(());
    }
    say("")?;
    say(wrapped(&format!("Films: {}", told.join("; ")), 0, 98))
}

fn print_way(found: &Match, number: usize, way: &Way, paint: Painter) -> Result<(), Failure> {
    say("")?;
    say(format!("  {number}. {}", way.title))?;
    let made = way.srgb.as_deref().unwrap_or("#000000");
    let tilts: Vec<String> =
        way.drift.iter().map(|d| format!("{} {}", paint.patch(&d.shown.srgb, 4), d.shown.name)).collect();
    say(format!(
        "     {}{}  {}   tilted {} degrees: {}",
        if paint.draws() { paint.patch(&found.target.shown.srgb, 8) } else { String::new() },
        paint.patch(made, 8),
        way.name.as_deref().unwrap_or(""),
        DRIFT_TILTS_DEG.map(|t| t.to_string()).join(" and "),
        tilts.join(", ")
    ))?;
    if let Some(angle) = &way.angle {
        let strip: String = angle.srgb.iter().map(|c| paint.cell(c)).collect();
        say(format!("     {strip}{}{}", if strip.is_empty() { "" } else { " " }, angle.words))?;
    }
    say(format!("     set   {}", way.set))?;
    say(format!("     {}", odds_words(way)))?;
    if !way.windows.is_empty() {
        let spans: Vec<String> = way
            .windows
            .iter()
            .filter(|w| w.setting != "seconds")
            .map(|w| {
                let step = if way.steps.len() > 1 { format!("step {} ", w.step) } else { String::new() };
                format!("{step}{}", w.words)
            })
            .collect();
        let limit = way.windows[0].delta_e_limit;
        say(wrapped(&format!("holds {} (within a difference of {limit:.1})", spans.join("; ")), 5, 96))?;
    }
    if !way.may_also_be.is_empty() {
        let also: Vec<String> =
            way.may_also_be.iter().map(|a| format!("{} ({:.0} %)", a.name, 100.0 * a.share)).collect();
        say(wrapped(&format!("may also come out {}", also.join(", ")), 5, 96))?;
    }
    for other in &way.other_orders {
        say(format!(
            "     also at {}: difference {:.1}, chance {:.0} % (another order)",
            other.set,
            other.delta_e.unwrap_or(f64::NAN),
            100.0 * other.chance
        ))?;
    }
    if !way.preparation.is_empty() {
        let before: Vec<&str> = way.preparation.iter().map(|p| p.preparation.as_str()).collect();
        say(format!("     before it: {} (`plan` tells how)", before.join(", ")))?;
    }
    if !way.stand_ins.is_empty() {
        say(wrapped(
            &format!("stand-in numbers: {} (a model in place of a missing table)", way.stand_ins.join(", ")),
            5,
            96,
        ))?;
    }
    for note in &way.notes {
        say(wrapped(&format!("rests on: {note}"), 5, 96))?;
    }
    Ok(())
}

fn print_cautions(feasible: &[&Way], most: usize) -> Result<(), Failure> {
    let mut told: Vec<(&str, &str, &str, Vec<usize>)> = Vec::new();
    for (i, way) in feasible.iter().take(most).enumerate() {
        for c in &way.cautions {
            match told.iter_mut().find(|t| t.0 == c.id) {
                Some(t) => t.3.push(i + 1),
                None => told.push((&c.id, &c.text, &c.source, vec![i + 1])),
            }
        }
    }
    if told.is_empty() {
        return Ok(());
    }
    say("")?;
    say("Cautions (local codes and licensed practice come first)")?;
    for (_, text, source, ways) in told {
        let numbers: Vec<String> = ways.iter().map(ToString::to_string).collect();
        let word = if ways.len() == 1 { "way" } else { "ways" };
        say(wrapped(&format!("{text} [{word} {}; {source}]", numbers.join(", ")), 2, 98))?;
    }
    Ok(())
}
