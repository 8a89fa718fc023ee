//! What `huewright plan` prints of a coater's chamber, and of limits: short, for a person at the machine.

use crate::outcome::Failure;
use crate::paint::{Painter, say, wrapped};
use huewright::chamber::{ChamberJson, GasJson, LoadJson, PlaceJson};
use huewright::limits::{AXES, LimitsJson};

const WIDTH: usize = 98;
/// Cells of a strip.
const CELLS: usize = 72;
/// Places whose colours lie closer than this (CIEDE2000) look alike.
const ALIKE: f64 = 1.0;

/// The chamber of a step. What was told of an earlier step is not told again; `told` keeps it.
pub(crate) fn print<'p>(c: &'p ChamberJson, told: &mut Vec<&'p str>, paint: Painter) -> Result<(), Failure> {
    let turns = c.turns.as_ref().map_or(&[][..], |t| &t.words);
    words("hold", c.control.words.iter().chain(turns), told)?;
    if let Some(load) = &c.load {
        print_load(load, told, paint)?;
    }
    if let Some(gas) = &c.gas {
        print_gas(gas, told)?;
    }
    print_grade(c, paint)?;
    words("warmth", c.temperature.iter().flat_map(|t| &t.words), told)
}

/// Lines under a heading; nothing where all was told before.
fn words<'p>(
    heading: &str,
    lines: impl IntoIterator<Item = &'p String>,
    told: &mut Vec<&'p str>,
) -> Result<(), Failure> {
    let fresh: Vec<&str> = lines.into_iter().map(String::as_str).filter(|line| !told.contains(line)).collect();
    for (i, line) in fresh.iter().enumerate() {
        say(hung(if i == 0 { heading } else { "" }, line))?;
    }
    told.extend(fresh);
    Ok(())
}

/// A heading, and a line that stays beside it however often it breaks.
fn hung(heading: &str, line: &str) -> String {
    let text = wrapped(line, 9, WIDTH);
    format!("  {heading:<7}{}", text.trim_start())
}

fn print_load<'p>(load: &'p LoadJson, told: &mut Vec<&'p str>, paint: Painter) -> Result<(), Failure> {
    print_places("load", &load.positions, paint)?;
    print_places("part", &load.facets, paint)?;
    // What is said of the worst place stands in the rows already.
    let more = load.words.iter().filter(|line| !line.starts_with("over the "));
    words("", more, told)
}

/// Places row by row, those alike in one row; one line where the eye sees no difference.
fn print_places(heading: &str, places: &[PlaceJson], paint: Painter) -> Result<(), Failure> {
    let Some(first) = places.first() else { return Ok(()) };
    let worst = places.iter().map(|p| p.delta_e).fold(0.0, f64::max);
    let span = |of: fn(&PlaceJson) -> f64| {
        let [low, high] = [f64::min, f64::max].map(|pick| places.iter().map(of).fold(of(first), pick));
        let [low, high] = [low, high].map(|v| format!("{v:.0}"));
        if low == high { low } else { format!("{low} to {high}") }
    };
    if worst < ALIKE {
        let line = format!(
            "{} at every place, within {worst:.1} (CIEDE2000); {} % of the thickness, {} nm",
            first.shown.name,
            span(|p| 100.0 * p.share),
            span(|p| p.thickness_nm)
        );
        return say(hung(heading, &line));
    }
    let mut rows: Vec<(String, String)> = Vec::new();
    for place in places {
        let off = if place.delta_e < 0.05 { String::new() } else { format!("{:>5.1} off (CIEDE2000)", place.delta_e) };
        let row = format!(
            "{:>3.0} % {:>6.1} nm  {} {:<12}{off}",
            100.0 * place.share,
            place.thickness_nm,
            paint.patch(&place.shown.srgb, 4),
            place.shown.name
        );
        match rows.iter_mut().find(|(_, other)| *other == row) {
            Some((names, _)) => names.push_str(&format!(", {}", place.name)),
            None => rows.push((place.name.clone(), row)),
        }
    }
    let wide = rows.iter().map(|(names, _)| names.chars().count()).max().unwrap_or(0).min(34);
    for (i, (names, row)) in rows.iter().enumerate() {
        let line = format!("  {:<7}{names:<wide$} {row}", if i == 0 { heading } else { "" });
        say(line.trim_end())?;
    }
    Ok(())
}

fn print_gas<'p>(gas: &'p GasJson, told: &mut Vec<&'p str>) -> Result<(), Failure> {
    if let (Some(flow), Some(composition)) = (gas.flow_sccm, gas.composition) {
        let doubt = gas.composition_sd.map_or(String::new(), |sd| format!(" +- {sd:.2}"));
        say(hung("gas", &format!("{flow:.1} sccm of {}: composition {composition:.2}{doubt}", gas.gas)))?;
        return words("", &gas.words, told);
    }
    words("gas", &gas.words, told)
}

/// A film of changing composition; the colours of any other stand among what is passed.
fn print_grade(c: &ChamberJson, paint: Painter) -> Result<(), Failure> {
    let layers = &c.layers;
    let (Some(composition), true) = (&layers.composition, layers.error_delta_e.is_some()) else { return Ok(()) };
    let ends = composition.first().zip(composition.last());
    let ends = ends.map_or(String::new(), |(from, to)| format!("composition {from:.2} at first, {to:.2} at last; "));
    say(hung("grade", &format!("{ends}{}", layers.words.join("; "))))?;
    if paint.draws() && !layers.srgb.is_empty() {
        let last = layers.srgb.len() - 1;
        let cells: String = (0..CELLS).map(|i| paint.cell(&layers.srgb[i * last / (CELLS - 1)])).collect();
        say(format!("         {cells}"))?;
    }
    Ok(())
}

/// Limits of an area, judged.
pub(crate) fn print_limits(limits: &LimitsJson) -> Result<(), Failure> {
    let [l, a, b] = limits.master;
    let seen = format!("{}, {} degrees", limits.light, limits.observer);
    say(format!("    limits about L* {l:.1}, a* {a:+.1}, b* {b:+.1} ({seen})"))?;
    for axis in &limits.axes {
        let allowed = match (axis.low, axis.high) {
            (Some(low), Some(high)) => format!("{low:+.1} to {high:+.1}"),
            _ => "any".to_owned(),
        };
        row(&format!("{} off {:+.1}, allowed {allowed}", axis.axis, axis.difference), axis.inside, axis.share_inside)?;
    }
    for place in &limits.positions {
        let off: Vec<String> = AXES.iter().zip(place.difference).map(|(axis, d)| format!("{axis} {d:+.1}")).collect();
        let inside = place.inside.iter().all(|inside| *inside);
        row(&format!("{} off {}", place.at, off.join(", ")), inside, Some(place.share_inside))?;
    }
    // The rows tell all but the last: what share of all parts passes.
    limits.words.last().map_or(Ok(()), |line| say(wrapped(line, 6, WIDTH)))
}

fn row(words: &str, inside: bool, share: Option<f64>) -> Result<(), Failure> {
    let runs = share.map_or(String::new(), |share| format!(" ({:.0} % of runs inside)", 100.0 * share));
    say(wrapped(&format!("{}: {words}{runs}", if inside { "passes" } else { "FAILS" }), 6, WIDTH))
}
