//! `huewright correct`.

use crate::arguments::CorrectArgs;
use crate::input;
use crate::outcome::{Failure, Outcome};
use crate::paint::{self, Painter, say, wrapped};
use crate::pictures;
use desk::{loads_figure, setting_words, shutter_words};
use huewright::Engine;
use huewright::correct::{CauseTold, CorrectRequest, Correction, LoadTold, Next, ResponseJson, WitnessTold, correct};
use huewright::limits::AXES;
use library::LOAD_SETTINGS;
use std::path::Path;

const WIDTH: usize = 98;
/// Loads that are printed, the last ones; JSON holds all.
const LOADS: usize = 12;
/// Reasons that are printed for a cause; JSON holds all.
const WHYS: usize = 3;
/// A cause this likely is explained.
const NAMED: f64 = 0.25;
/// A cause this likely stands alone in the verdict, as the engine words it.
const CLEAR: f64 = 0.6;
/// How the engine words the load that the others are judged by.
const REFERENCE: &str = "the reference";

pub(crate) fn run(engine: &Engine, a: &CorrectArgs) -> Result<Outcome, Failure> {
    let log = input::loads(engine, &a.loads)?;
    let workshop = a.workshop.as_deref().map(|p| input::workshop(engine, p)).transpose()?;
    if let Some(picture) = &a.picture {
        let read = [Some(a.loads.as_path()), a.workshop.as_deref()];
        input::apart(&[picture], &read.into_iter().flatten().collect::<Vec<&Path>>())?;
    }
    let request = CorrectRequest { loads: &log, workshop: workshop.as_ref() };
    let found = correct(engine, &request)
        .map_err(|fault| Failure::InFile { file: a.loads.display().to_string(), fault: Box::new(fault) })?;
    if let Some(path) = &a.picture {
        pictures::write(path, &loads_figure(&found).svg())?;
    }
    if a.show.json {
        say(found.json().to_string())?;
    } else {
        print(&found, Painter::new(a.show.swatches))?;
        if let Some(path) = &a.picture {
            say(format!("Picture written to {}", path.display()))?;
        }
        if a.show.why {
            paint::sources(&found.sources)?;
        }
    }
    Ok(if found.next.is_some() { Outcome::Done } else { Outcome::NoAnswer })
}

fn print(found: &Correction, paint: Painter) -> Result<(), Failure> {
    say(format!("{}: {}", found.name, found.seen_under))?;
    if let Some(wanted) = &found.wanted {
        say(format!(
            "  wanted {} {}  {}",
            paint.patch(&wanted.shown.srgb, 6),
            wanted.shown.name,
            paint::lab(wanted.lab)
        ))?;
        say("  off: difference from it by CIEDE2000, then along each axis")?;
        if let Some(limits) = &wanted.limits {
            say(format!("  allowed differences: {}", limit_words(limits)))?;
        }
    }
    if let Some(film) = &found.film {
        say(format!("  film on top: {film}"))?;
    }
    let left_out = found.loads.len().saturating_sub(LOADS);
    if left_out > 0 {
        say("")?;
        say(format!("The first {left_out} loads are not printed; --json holds all"))?;
    }
    for (i, load) in found.loads.iter().enumerate().skip(left_out) {
        print_load(found, i, load, paint)?;
    }
    if let Some(trend) = &found.trend {
        say("")?;
        say("DRIFT")?;
        say(wrapped(&trend.words, 2, WIDTH))?;
    }
    if let Some(response) = &found.response {
        print_response(response)?;
    }
    say("")?;
    match &found.next {
        Some(next) => print_next(next, paint)?,
        None => say("NEXT LOAD  nothing can be said; the notes below and the verdicts above say why")?,
    }
    if !found.notes.is_empty() {
        say("")?;
        paint::notes(&found.notes)?;
    }
    if !found.cautions.is_empty() {
        say("")?;
        say("Read before the next load (local codes and licensed practice come first)")?;
        for c in &found.cautions {
            say(wrapped(&format!("! {} [{}]", c.text, c.source), 4, WIDTH))?;
        }
    }
    Ok(())
}

fn limit_words(limits: &[Option<[f64; 2]>; 3]) -> String {
    let list: Vec<String> = AXES
        .iter()
        .zip(limits)
        .filter_map(|(axis, limit)| limit.map(|[low, high]| format!("{axis} {low:+.1} to {high:+.1}")))
        .collect();
    list.join(", ")
}

fn print_load(found: &Correction, i: usize, load: &LoadTold, paint: Painter) -> Result<(), Failure> {
    say("")?;
    let date = load.date.as_ref().map_or(String::new(), |d| format!("  {d}"));
    let number = format!("LOAD {}", i + 1);
    let name = if load.name == number.to_lowercase() { String::new() } else { format!("  {}", load.name) };
    say(format!("{number}{name}{date}"))?;
    // The first that is printed tells all that was set, later ones what has changed.
    let first = i == found.loads.len().saturating_sub(LOADS);
    let told = |key: &str| first || load.changed.iter().any(|c| c == key);
    let mut set: Vec<String> = LOAD_SETTINGS
        .iter()
        .filter(|key| told(key))
        .filter_map(|key| Some(setting_words(key, *load.settings.get(key)?)))
        .collect();
    if told("seconds") && !load.seconds.is_empty() {
        set.push(shutter_words(&load.seconds));
    }
    if !set.is_empty() {
        say(wrapped(&format!("{} {}", if first { "set:" } else { "changed:" }, set.join(", ")), 2, WIDTH))?;
    }
    let wide = load.witnesses.iter().map(|w| w.at.chars().count()).max().unwrap_or(0);
    for witness in &load.witnesses {
        print_witness(witness, wide, paint)?;
    }
    if !load.verdict.is_empty() {
        say(wrapped(&format!("-> {}", load.verdict), 2, WIDTH))?;
    }
    print_causes(found, i, load)
}

fn print_witness(w: &WitnessTold, wide: usize, paint: Painter) -> Result<(), Failure> {
    let mut line = format!("  {:<wide$}  {} {:<12}", w.at, paint.patch(&w.shown.srgb, 6), w.shown.name);
    match (w.difference, w.delta_e) {
        (Some(difference), Some(delta_e)) => {
            let axes: Vec<String> = AXES.iter().zip(difference).map(|(axis, d)| format!("{axis} {d:+.1}")).collect();
            line.push_str(&format!(" {delta_e:>4.1} off ({})", axes.join(", ")));
        }
        _ => line.push_str(&format!(" {}", paint::lab(w.lab))),
    }
    if let Some(inside) = w.inside {
        let out: Vec<&str> = AXES.iter().zip(inside).filter(|(_, inside)| !inside).map(|(axis, _)| *axis).collect();
        line.push_str(&if out.is_empty() { "  passes".to_owned() } else { format!("  FAILS on {}", out.join(", ")) });
    }
    say(line)
}

/// The causes that are named: more than one where it cannot be told; none where nothing changed, or for the load that the
/// others are judged by.
fn named(load: &LoadTold) -> Vec<&CauseTold> {
    if load.verdict.starts_with(REFERENCE)
        || load.causes.first().is_some_and(|c| c.id == "same" && c.probability >= CLEAR)
    {
        return Vec::new();
    }
    load.causes.iter().filter(|c| c.id != "same" && c.probability >= NAMED && !c.why.is_empty()).take(2).collect()
}

fn print_causes(found: &Correction, i: usize, load: &LoadTold) -> Result<(), Failure> {
    let list = named(load);
    // The verdict holds the first three where it cannot tell.
    let clear = load.causes.first().is_some_and(|c| c.probability >= CLEAR);
    for other in load.causes.iter().skip(1).take(2).filter(|_| clear && !load.verdict.starts_with(REFERENCE)) {
        say(wrapped(&format!("or {} ({:.0} %)", other.words, 100.0 * other.probability), 5, WIDTH))?;
    }
    for cause in &list {
        // A drift names one cause load after load: its checks stand where they are needed, at the last.
        let again = |l: &LoadTold| named(l).iter().any(|c| c.id == cause.id);
        if let Some(last) = found.loads.iter().rposition(again).filter(|last| *last > i) {
            say(format!("     what makes it ({}): see load {}", cause.id, last + 1))?;
            continue;
        }
        say(format!("     what makes it ({}), the likeliest first:", cause.id))?;
        // Room for one cause, or for two.
        print_whys(cause, if list.len() > 1 { WHYS - 1 } else { WHYS })?;
    }
    Ok(())
}

fn print_whys(cause: &CauseTold, most: usize) -> Result<(), Failure> {
    for (n, why) in cause.why.iter().take(most).enumerate() {
        say(wrapped(&format!("{}. {} [{}]", n + 1, why.words, why.source), 7, WIDTH))?;
        if !why.for_it.is_empty() {
            say(wrapped(&format!("the log speaks for it: {}", why.for_it.join("; ")), 10, WIDTH))?;
        }
        say(wrapped(&format!("check: {}", why.check), 10, WIDTH))?;
        say(wrapped(&format!("change: {}", why.change), 10, WIDTH))?;
    }
    match cause.why.len().saturating_sub(most) {
        0 => Ok(()),
        more => say(format!("       and {more} less likely; --json holds all")),
    }
}

fn print_response(response: &ResponseJson) -> Result<(), Failure> {
    say("")?;
    say(format!("WHAT THE SHOP'S OWN RUNS SAY  ({} runs)", response.runs))?;
    for line in &response.words {
        say(wrapped(line, 2, WIDTH))?;
    }
    match &response.refused {
        Some(why) => say(wrapped(&format!("nothing was learnt: {why}"), 2, WIDTH)),
        None => Ok(()),
    }
}

fn print_next(next: &Next, paint: Painter) -> Result<(), Failure> {
    say("NEXT LOAD")?;
    for change in &next.set {
        say(wrapped(&format!("set {}", change.words), 2, WIDTH))?;
    }
    if next.set.is_empty() {
        say("  set as in the last load")?;
    }
    say(format!(
        "  expected {} {}  {}, {:.1} from what is wanted (CIEDE2000)",
        paint.patch(&next.shown.srgb, 6),
        next.shown.name,
        paint::lab(next.lab),
        next.delta_e
    ))?;
    // Where the words tell the chance, they tell of what.
    if !next.words.iter().any(|line| line.contains("with a chance of")) {
        let kept = next.chance_unchanged.filter(|_| !next.set.is_empty());
        let kept = kept.map_or(String::new(), |c| format!("; as the last load was set {:.0} %", 100.0 * c));
        say(format!("  chance {:.0} %{kept}", 100.0 * next.chance))?;
    }
    for line in &next.words {
        say(wrapped(line, 2, WIDTH))?;
    }
    Ok(())
}
