//! `huewright demo`: the invented bell workshop.

use crate::arguments::DemoArgs;
use crate::matching::{print, progress};
use crate::outcome::{Failure, Outcome};
use crate::paint::{Painter, say, wrapped};
use crate::pictures;
use figure::Mark;
use huewright::matching::{Match, MatchRequest, Way, match_colour};
use huewright::ribbon::{self, Axis, Ribbon, RibbonRequest};
use huewright::{Conditions, Engine, parse_target};
use library::WorkshopFile;
use std::path::Path;

const WORKSHOP: &str = include_str!("../../../examples/bells/workshop.toml");
/// The wanted blue, invented: what a colour reader said of the bell bought abroad.
const WANTED: &str = "lab(36, 6, -44)";
/// Ways that are printed and drawn.
const SHOWN: usize = 5;

pub(crate) fn run(engine: &Engine, a: &DemoArgs) -> Result<Outcome, Failure> {
    // A folder that cannot be made is told before the work, not after it.
    std::fs::create_dir_all(&a.folder)
        .map_err(|error| Failure::Write { path: a.folder.display().to_string(), error })?;
    let no_files = |_: &Path| Err(std::io::Error::other("the demo reads no files"));
    let workshop =
        WorkshopFile::read("examples/bells/workshop.toml", WORKSHOP.as_bytes(), engine.library(), &no_files)?;
    let conditions = Conditions::default();
    say(wrapped(
        "An invented workshop makes bicycle bells: domes of titanium and of stainless steel. A bell bought abroad has a blue \
         that theirs lacks. They own a 110 V supply, a citric and a sulfate bath and a kiln, and know a contract coater with an \
         arc and a magnetron machine. Which of these give that blue?",
        0,
        98,
    ))?;
    say("")?;
    let target = parse_target(engine, WANTED, &conditions)?;
    let request = MatchRequest { target, workshop: &workshop, from: None };
    let found = match_colour(engine, &request, &conditions, progress)?;
    let paint = Painter::new(a.swatches);
    print(&found, SHOWN, paint)?;
    let written = draw(engine, &found, &conditions, &a.folder)?;
    say("")?;
    say(format!("Pictures in {}:", a.folder.display()))?;
    for name in written {
        say(format!("  {name}"))?;
    }
    say("")?;
    say("Now yours: copy examples/bells/workshop.toml, write what you own, and run")?;
    say("  huewright match \"deep blue\" --workshop my-shop.toml")?;
    Ok(Outcome::Done)
}

/// A board of the ways, and the ribbon of each, as SVG and PNG.
fn draw(engine: &Engine, found: &Match, conditions: &Conditions, folder: &Path) -> Result<Vec<String>, Failure> {
    let mut written = Vec::new();
    let mut keep = |name: &str, svg: &str| {
        for ending in ["svg", "png"] {
            pictures::write(&folder.join(format!("{name}.{ending}")), svg)?;
            written.push(format!("{name}.{ending}"));
        }
        Ok::<(), Failure>(())
    };
    keep("ways", &pictures::board(found, SHOWN).svg())?;
    for (i, way) in found.ways.iter().filter(|w| w.feasible).take(SHOWN).enumerate() {
        let Some((drawn, mark)) = way_ribbon(engine, found, way, conditions)? else { continue };
        let mut figure = pictures::ribbon_figure(&drawn, "D65", Some(mark));
        figure.title = format!("{}. {}", i + 1, crate::matching::steps_lines(way)[0]);
        keep(&format!("way-{}-ribbon", i + 1), &figure.svg())?;
    }
    Ok(written)
}

/// The ribbon of the last step of a way, through its own setting, with the setting and its window marked.
fn way_ribbon(
    engine: &Engine,
    found: &Match,
    way: &Way,
    conditions: &Conditions,
) -> Result<Option<(Ribbon, Mark)>, Failure> {
    let Some(finish) = way.made.clone() else { return Ok(None) };
    let Some(step) = way.steps.last() else { return Ok(None) };
    let Some(film) = finish.films.len().checked_sub(1) else { return Ok(None) };
    let setting = |key: &str| step["settings"][key].as_f64();
    let (axis, key, at, from, to) = match step["route"].as_str() {
        Some("anodise") => {
            let Some(at) = setting("voltage_v") else { return Ok(None) };
            let electrolyte = step["electrolyte"].as_str().map(ToOwned::to_owned);
            let Some([from, to]) = ribbon::volts_span(engine, &finish, electrolyte.as_deref()) else { return Ok(None) };
            (Axis::Volts { electrolyte }, "voltage_v", at, from, to)
        }
        Some("heat") | None => {
            let at = finish.films[film].thickness_nm;
            (Axis::Thickness { film }, "thickness_nm", at, 0.0, (2.0 * at).max(120.0))
        }
        Some(_) => {
            let Some(at) = setting("thickness_nm") else { return Ok(None) };
            (Axis::Thickness { film }, "thickness_nm", at, 0.0, (2.0 * at).max(120.0))
        }
    };
    let request = RibbonRequest { finish, axis, from, to, points: 331, tilts_deg: vec![0.0, 30.0, 60.0] };
    let drawn = ribbon::ribbon(engine, &request, conditions)?;
    let window = way.windows.iter().find(|w| w.setting == key && w.step == way.steps.len()).map(|w| (w.low, w.high));
    let label = format!("wanted; set {at:.1} {}", drawn.unit);
    Ok(Some((drawn, Mark { at, window, label, wanted: Some(found.target.srgb.clone()) })))
}
