//! `huewright plan`.

use crate::arguments::PlanArgs;
use crate::input;
use crate::outcome::{Failure, Outcome};
use crate::paint::{self, Painter, say, wrapped};
use crate::pictures;
use crate::plan_chamber;
use desk::plan_pictures;
use huewright::Engine;
use huewright::matching::CautionJson;
use huewright::plan::{AreaPlan, Lift, Plan, PlanRequest, StepPlan, judged_under, plan};
use std::path::{Path, PathBuf};

/// Beats that are printed; JSON holds all.
const BEATS: usize = 24;
const WIDTH: usize = 98;

pub(crate) fn run(engine: &Engine, a: &PlanArgs) -> Result<Outcome, Failure> {
    let conditions = input::conditions(&a.view)?;
    let recipe = input::recipe(engine, &a.recipe)?;
    let workshop = a.workshop.as_deref().map(|p| input::workshop(engine, p)).transpose()?;
    let part = a.part.as_deref().map(|p| input::part(engine, p)).transpose()?;
    let beside = a.beside.as_deref().map(|p| input::recipe(engine, p)).transpose()?;
    let request =
        PlanRequest { recipe: &recipe, workshop: workshop.as_ref(), part: part.as_ref(), beside: beside.as_ref() };
    let found = plan(engine, &request, &conditions)
        .map_err(|fault| Failure::InFile { file: a.recipe.display().to_string(), fault: Box::new(fault) })?;
    let mut drawn = Vec::new();
    if let Some(path) = &a.picture {
        let drawings = plan_pictures(&found, &judged_under(&recipe, &conditions));
        let given: Vec<&Path> = [Some(&a.recipe), a.workshop.as_ref(), a.part.as_ref()]
            .into_iter()
            .flatten()
            .map(PathBuf::as_path)
            .collect();
        for (i, svg) in drawings.iter().enumerate() {
            let file = numbered(path, i + 1, drawings.len());
            input::apart(&[&file], &given)?;
            pictures::write(&file, svg)?;
            drawn.push(file.display().to_string());
        }
    }
    if a.show.json {
        say(serde_json::to_string(&found).map_err(|e| Failure::Words(e.to_string()))?)?;
    } else {
        print(&found, Painter::new(a.show.swatches))?;
        if a.show.why {
            paint::sources(&found.sources)?;
        }
        if !drawn.is_empty() {
            say(format!("Pictures written to {}", drawn.join(", ")))?;
        } else if a.picture.is_some() {
            say("No picture was written: no step of this recipe grows a film through time.")?;
        }
    }
    Ok(if found.feasible { Outcome::Done } else { Outcome::NoAnswer })
}

/// `plan.svg` as `plan-2.svg`, where there are several.
fn numbered(path: &Path, number: usize, of: usize) -> PathBuf {
    if of == 1 {
        return path.to_path_buf();
    }
    let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let ending = path.extension().map_or(String::new(), |e| format!(".{}", e.to_string_lossy()));
    path.with_file_name(format!("{stem}-{number}{ending}"))
}

fn print(found: &Plan, paint: Painter) -> Result<(), Failure> {
    say(format!("{}: from {} {}", found.name, paint.patch(&found.start.shown.srgb, 6), found.start.shown.name))?;
    if let Some(part) = &found.part {
        say(wrapped(&format!("part: {}", part.how), 2, WIDTH))?;
    }
    paint::notes(&found.notes)?;
    if let Some(text) = &found.proposed {
        say("")?;
        say(
            "The recipe has no steps; these are proposed (the highest voltage first; keep them in the file to change them):",
        )?;
        for line in text.lines() {
            say(format!("    {line}"))?;
        }
    }
    for why in &found.why_not {
        say("")?;
        say(wrapped(&format!("CANNOT BE DONE AS WRITTEN, {}", why.words), 0, WIDTH))?;
        if let Some(nearest) = &why.nearest {
            say(wrapped(&format!("nearest that works: {nearest}"), 2, WIDTH))?;
        }
    }
    print_options(found)?;
    let (mut read, mut told): (Vec<&str>, Vec<&str>) = (Vec::new(), Vec::new());
    for step in &found.steps {
        print_step(step, &mut read, paint)?;
        if let Some(chamber) = &step.chamber {
            plan_chamber::print(chamber, &mut told, paint)?;
        }
        for note in &step.notes {
            say(wrapped(&format!("note: {note}"), 2, WIDTH))?;
        }
    }
    say("")?;
    say(if found.feasible { "What comes out" } else { "What comes out, as far as the steps go" })?;
    for area in &found.areas {
        print_area(area, paint)?;
    }
    print_alike(found, paint)?;
    Ok(())
}

/// First where there are any: what is easiest may be none of the steps.
fn print_options(found: &Plan) -> Result<(), Failure> {
    if !found.options.is_empty() {
        say("")?;
        say("From the part as it is")?;
        for option in &found.options {
            say(wrapped(&format!("{}: {}", option.kind, option.words), 2, WIDTH))?;
        }
    }
    Ok(())
}

fn print_step<'p>(step: &'p StepPlan, read: &mut Vec<&'p str>, paint: Painter) -> Result<(), Failure> {
    say("")?;
    say(format!("STEP {}  {}", step.number, step.title))?;
    if !step.cautions.is_empty() {
        say("  Read first (local codes and licensed practice come first)")?;
        let (again, fresh): (Vec<&CautionJson>, Vec<&CautionJson>) =
            step.cautions.iter().partition(|c| read.contains(&c.id.as_str()));
        for c in &fresh {
            say(wrapped(&format!("! {} [{}]", c.text, c.source), 4, WIDTH))?;
        }
        if !again.is_empty() {
            let ids: Vec<&str> = again.iter().map(|c| c.id.as_str()).collect();
            say(wrapped(&format!("! as told above: {}", ids.join(", ")), 4, WIDTH))?;
        }
        read.extend(fresh.iter().map(|c| c.id.as_str()));
    }
    if !step.set.is_empty() {
        let set: Vec<String> = step
            .set
            .iter()
            .map(|s| format!("{}{}", s.words, if s.tightest { " (hold this tightest)" } else { "" }))
            .collect();
        say(format!("  set    {}", set.join(", ")))?;
    }
    for (i, line) in step.todo.iter().enumerate() {
        say(wrapped(&format!("{}. {line}", i + 1), 4, WIDTH))?;
    }
    for line in &step.watch {
        say(wrapped(&format!("watch: {line}"), 2, WIDTH))?;
    }
    if let Some(stop) = &step.stop {
        say(wrapped(&format!("STOP {stop}"), 2, WIDTH))?;
    }
    if let Some(trace) = &step.trace {
        print_passed(step, paint)?;
        if paint.draws() && !trace.dry.is_empty() {
            let cells = |colours: &[String]| {
                (0..72).map(|i| paint.cell(&colours[i * (colours.len() - 1) / 71])).collect::<String>()
            };
            say(format!("  dry  {}", cells(&trace.dry)))?;
            if !trace.wet.is_empty() {
                say(format!("  wet  {}", cells(&trace.wet)))?;
            }
        }
    }
    if let Some(lift) = &step.lift {
        print_lift(lift)?;
    }
    if let Some(lasts) = &step.lasts {
        say(wrapped(&lasts.words, 2, WIDTH))?;
    }
    if let Some(sizing) = &step.sizing {
        for line in &sizing.words {
            say(wrapped(line, 2, WIDTH))?;
        }
    }
    Ok(())
}

fn print_passed(step: &StepPlan, paint: Painter) -> Result<(), Failure> {
    let long = step.seconds.unwrap_or(0.0) > 600.0;
    let time = |s: f64| if long { format!("{:.0}", s / 60.0) } else { format!("{s:.1}") };
    let unit = if long { "min" } else { "s" };
    for p in &step.passed {
        say(format!(
            "    {} {:<12} {:>6} to {:>6} {unit}",
            paint.patch(&p.srgb, 4),
            p.name,
            time(p.from_s),
            time(p.to_s)
        ))?;
    }
    Ok(())
}

fn print_lift(lift: &Lift) -> Result<(), Failure> {
    for line in &lift.words {
        say(wrapped(line, 2, WIDTH))?;
    }
    say(format!("  along the part: {}", lift.passes.join(", ")))?;
    say("  by hand:   at      lift to    turn to")?;
    let every = lift.beats.len().div_ceil(BEATS).max(1);
    for (i, beat) in lift.beats.iter().enumerate() {
        if i % every == 0 || i + 1 == lift.beats.len() {
            say(format!("        {:>6.1} s {:>8.1} mm {:>8.1} V", beat.second, beat.lift_mm, beat.voltage_v))?;
        }
    }
    Ok(())
}

fn print_area(area: &AreaPlan, paint: Painter) -> Result<(), Failure> {
    let wanted = area.wanted.as_ref();
    say(format!(
        "  {:<10} {}{} {}  {}",
        area.name,
        wanted.map_or(String::new(), |w| paint.patch(&w.shown.srgb, 6)),
        paint.patch(&area.made.shown.srgb, 6),
        area.made.shown.name,
        paint::lab(area.made.lab)
    ))?;
    if let (Some(band), Some(differs), Some(chance)) = (area.thickness_nm, area.delta_e_of_runs, area.chance) {
        let matched = area.chance_match.map_or(String::new(), |m| format!(", two pieces match {:.0} %", 100.0 * m));
        let nominal = area.planned_nm.map_or(String::new(), |nm| format!("{nm:.0} nm as planned, "));
        let of = wanted.map_or("this colour".to_owned(), |w| w.given.clone());
        say(wrapped(
            &format!(
                "film {nominal}median {:.0} nm (90 of 100: {:.0} to {:.0}); from {of} (CIEDE2000) {:.1} (90 of 100: {:.1} to {:.1}); chance within 5 {:.0} %{matched}",
                band.median,
                band.low,
                band.high,
                differs.median,
                differs.low,
                differs.high,
                100.0 * chance
            ),
            4,
            WIDTH,
        ))?;
    }
    if let (Some(share), Some(w)) = (area.chance_of_name, wanted) {
        say(format!("    {:.0} % bear the word {}", 100.0 * share, w.shown.name))?;
    }
    if let Some(set) = area.set {
        say(format!("    all {} match one another: {:.0} %", set.pieces, 100.0 * set.chance_match))?;
    }
    if !area.may_also_be.is_empty() {
        let also: Vec<String> =
            area.may_also_be.iter().map(|a| format!("{} ({:.0} %)", a.name, 100.0 * a.share)).collect();
        say(wrapped(&format!("may also come out {}", also.join(", ")), 4, WIDTH))?;
    }
    if let Some(limits) = &area.limits {
        plan_chamber::print_limits(limits)?;
    }
    if let Some(along) = &area.along {
        let cells: String = along.iter().map(|p| paint.cell(&p.shown.srgb)).collect();
        if !cells.is_empty() {
            say(format!("    {cells}"))?;
        }
        for place in along.iter().filter(|p| p.wanted.is_some()) {
            if let (Some(w), Some(d), Some(c)) = (&place.wanted, place.delta_e, place.chance) {
                say(format!(
                    "    at {:>3.0} wanted {}, made {} ({d:.1}, CIEDE2000), chance within 5 {:.0} %",
                    place.at,
                    w.given,
                    place.shown.name,
                    100.0 * c
                ))?;
            }
        }
    }
    Ok(())
}

fn print_alike(found: &Plan, paint: Painter) -> Result<(), Failure> {
    say("")?;
    say("Two alike")?;
    for line in found.alike.words.iter().chain(found.alike.hold.iter().map(|h| &h.words)) {
        say(wrapped(line, 2, WIDTH))?;
    }
    if let Some(other) = &found.alike.beside {
        let chance =
            other.chance_match.map_or("no scatter of a machine is known, so no chance is told".to_owned(), |c| {
                format!("a piece of each match (within 2) with a chance of {:.0} %", 100.0 * c)
            });
        say(wrapped(
            &format!(
                "beside {} {}, {}: {:.1} apart (CIEDE2000) as planned; {chance}",
                paint.patch(&other.made.srgb, 6),
                other.name,
                other.made.word,
                other.delta_e
            ),
            2,
            WIDTH,
        ))?;
        if !other.feasible {
            say("  the other recipe cannot be done as written; ask plan for it by itself")?;
        }
    }
    Ok(())
}
