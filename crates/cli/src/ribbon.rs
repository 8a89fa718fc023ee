//! `huewright ribbon`.

use crate::arguments::RibbonArgs;
use crate::input;
use crate::outcome::{Failure, Outcome};
use crate::paint::{self, Painter, say};
use crate::pictures;
use desk::ribbon_figure;
use huewright::ribbon::{Axis, Ribbon, RibbonError, RibbonRequest, bare, ribbon, why};
use huewright::{Engine, Fault};
use library::{FilmSpec, FinishFile, MaterialRef};
use std::path::Path;

pub(crate) fn run(engine: &Engine, a: &RibbonArgs) -> Result<Outcome, Failure> {
    let conditions = input::conditions(&a.view)?;
    let request = request(engine, a)?;
    let drawn = ribbon(engine, &request, &conditions)?;
    let figure = ribbon_figure(&drawn, &conditions, None);
    if let Some(path) = &a.svg {
        input::write(path, figure.svg().as_bytes())?;
    }
    if let Some(path) = &a.png {
        input::write(path, &pictures::to_png(&figure.svg())?)?;
    }
    if let Some(path) = &a.csv {
        input::write(path, drawn.csv().as_bytes())?;
    }
    let sources = if a.show.why { why(engine, &request, &conditions)? } else { Vec::new() };
    if a.show.json {
        let mut json = serde_json::to_value(&drawn).map_err(|e| Failure::Words(e.to_string()))?;
        if a.show.why {
            json["why"] = serde_json::to_value(sources).map_err(|e| Failure::Words(e.to_string()))?;
        }
        say(json.to_string())?;
        return Ok(Outcome::Done);
    }
    let paint = Painter::new(a.show.swatches);
    print(&drawn, paint)?;
    for path in [&a.svg, &a.png, &a.csv].into_iter().flatten() {
        say(format!("  written: {}", path.display()))?;
    }
    paint::notes(&drawn.notes)?;
    for caution in &drawn.cautions {
        say(paint::wrapped(&format!("caution: {} ({})", caution.text, caution.source), 2, 98))?;
    }
    if a.show.why {
        paint::sources(&sources)?;
    }
    Ok(Outcome::Done)
}

/// Prints the strips and the names along them.
pub(crate) fn print(drawn: &Ribbon, paint: Painter) -> Result<(), Failure> {
    const CELLS: usize = 88;
    let first = &drawn.rows[0].points;
    let film = format!(" (film {:.0} to {:.0} nm)", first[0].thickness_nm, first[first.len() - 1].thickness_nm);
    say(format!("{}{}", drawn.title, if drawn.setting == "thickness_nm" { "" } else { &film }))?;
    if paint.draws() {
        for row in &drawn.rows {
            let cells: String = (0..CELLS)
                .map(|c| paint.cell(&row.points[c * (row.points.len() - 1) / (CELLS - 1)].shown.srgb))
                .collect();
            let label = if drawn.rows.len() > 1 { format!("  tilt {}", row.tilt_deg) } else { String::new() };
            for _ in 0..if drawn.rows.len() > 1 { 1 } else { 2 } {
                say(format!("  {cells}{label}"))?;
            }
        }
    }
    for row in &drawn.rows {
        if drawn.rows.len() > 1 {
            say(format!("  tilt {} degrees", row.tilt_deg))?;
        }
        for band in &row.bands {
            let middle = 0.5 * (band.from + band.to);
            let off = |value: f64| (value - middle).abs();
            let Some(point) = row.points.iter().min_by(|a, b| off(a.value).total_cmp(&off(b.value))) else { continue };
            let patch = paint.patch(&point.shown.srgb, 6);
            say(format!("  {:>8.1} to {:>6.1} {:<3} {patch} {}", band.from, band.to, drawn.unit, band.name))?;
        }
    }
    Ok(())
}

fn request(engine: &Engine, a: &RibbonArgs) -> Result<RibbonRequest, Failure> {
    let finish = subject(engine, a)?;
    let last = finish.films.len().saturating_sub(1);
    let film = match a.which {
        Some(0) => return Err(Failure::from(Fault::from(RibbonError::NoFilm { given: 0, count: finish.films.len() }))),
        Some(n) => n - 1,
        None => last,
    };
    let heat_words =
        "for heat give --degrees FROM..TO with --minutes TIME, or --minutes FROM..TO with --degrees TEMPERATURE";
    let (axis, (from, to)) = match (&a.thickness, &a.volts, &a.degrees, &a.minutes) {
        (Some(t), None, None, None) => (Axis::Thickness { film }, input::span("thickness", t, "thickness_nm")?),
        (None, Some(v), None, None) => {
            (Axis::Volts { electrolyte: bath(engine, a)? }, input::span("volts", v, "voltage_v")?)
        }
        (None, None, Some(d), Some(m)) if d.contains("..") && !m.contains("..") => (
            Axis::Degrees { minutes: input::quantity("minutes", m, "minutes")? },
            input::span("degrees", d, "temperature_c")?,
        ),
        (None, None, Some(d), Some(m)) if m.contains("..") && !d.contains("..") => (
            Axis::Minutes { temperature_c: input::quantity("degrees", d, "temperature_c")? },
            input::span("minutes", m, "minutes")?,
        ),
        (None, None, None, None) if !finish.films.is_empty() => {
            let now = finish.films[film.min(last)].thickness_nm;
            (Axis::Thickness { film }, (0.0, (2.0 * now).max(200.0)))
        }
        (None, None, None, None) => {
            return Err(Failure::Words(
                "nothing to turn: give --thickness, --volts, --degrees or --minutes (see `huewright ribbon --help`)"
                    .to_owned(),
            ));
        }
        (None, None, _, _) => return Err(Failure::Words(heat_words.to_owned())),
        _ => {
            return Err(Failure::Words(
                "one thing can be turned at a time: give one of --thickness, --volts, or --degrees with --minutes"
                    .to_owned(),
            ));
        }
    };
    let tilts_deg = a.tilts.iter().map(|t| input::quantity("tilts", t, "tilt_deg")).collect::<Result<_, _>>()?;
    Ok(RibbonRequest { finish, axis, from, to, points: a.points, tilts_deg })
}

fn bath(engine: &Engine, a: &RibbonArgs) -> Result<Option<String>, Failure> {
    let Some(word) = &a.bath else { return Ok(None) };
    match engine.library().electrolyte(word) {
        Some(e) => match &e.unfit {
            Some(why) => Err(Failure::Words(format!("--bath {word}: no colour is grown in it: {why}"))),
            None => Ok(Some(word.clone())),
        },
        None => {
            let known: Vec<&str> = engine.library().electrolytes().iter().map(|e| e.id.as_str()).collect();
            Err(Failure::from(Fault::Unknown { what: "electrolyte", given: word.clone(), known: known.join(", ") }))
        }
    }
}

fn subject(engine: &Engine, a: &RibbonArgs) -> Result<FinishFile, Failure> {
    let path = Path::new(&a.subject);
    if path.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml")) {
        return input::finish(engine, path);
    }
    let named = |id: &str| engine.library().entry(id).map(|_| ()).map_err(|p| Failure::from(p.in_file(id)));
    named(&a.subject)?;
    let mut finish = bare(&a.subject);
    if a.thickness.is_some() {
        let grown = engine.library().growth(&a.subject).map(|g| g.film.clone());
        let Some(film) = a.film.clone().or(grown) else {
            return Err(Failure::Words(format!("--thickness on bare {} needs --film FILM: which film?", a.subject)));
        };
        named(&film)?;
        finish.films.push(FilmSpec {
            material: MaterialRef::Library { id: film, source: None },
            thickness_nm: 0.0,
            thickness_sd_nm: 0.0,
            spread: 0.0,
            porosity: 0.0,
            composition: None,
        });
    }
    Ok(finish)
}
