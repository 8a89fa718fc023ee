//! `huewright demo`: the invented bell workshop.

use crate::arguments::DemoArgs;
use crate::matching::{print, progress};
use crate::outcome::{Failure, Outcome};
use crate::paint::{Painter, say, wrapped};
use crate::pictures;
use desk::{board, way_figure};
use huewright::matching::{Match, MatchRequest, Window, match_colour};
use huewright::ribbon::way_ribbon;
use huewright::{Conditions, Engine, parse_target};
use library::WorkshopFile;
use std::path::Path;

const WORKSHOP: &str = include_str!("../../../examples/bells/workshop.toml");
/// The wanted blue, invented: what a colour reader said of the bell bought abroad.
const WANTED: &str = "lab(36, 6, -44)";
/// Ways that are printed and drawn.
const SHOWN: usize = 5;
/// Colours in a ribbon.
const POINTS: usize = 331;

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
    say("What the coater would do, and why its third load came out purple:")?;
    say("  huewright plan examples/bells/recipe-gold-dark.toml")?;
    say("  huewright correct examples/bells/loads.toml")?;
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
    keep("ways", &board(found, SHOWN, conditions).svg())?;
    for (i, way) in found.ways.iter().filter(|w| w.feasible).take(SHOWN).enumerate() {
        let (Some(step), Some(made)) = (way.steps.last(), &way.made) else { continue };
        let finishes = [way.made_from.as_ref().unwrap_or(made), made];
        let Some(drawn) = way_ribbon(engine, finishes, step, POINTS, &[0.0, 30.0, 60.0], conditions)? else { continue };
        // The ribbon is that of the last step.
        let of_setting = |w: &&Window| w.setting == drawn.ribbon.setting && w.step == way.steps.len();
        let window = way.windows.iter().find(of_setting).map(|w| (w.low, w.high));
        let mut figure = way_figure(&drawn, &found.target.shown.srgb, window, conditions);
        figure.title = format!("{}. {}", i + 1, way.title);
        keep(&format!("way-{}-ribbon", i + 1), &figure.svg())?;
    }
    Ok(written)
}
