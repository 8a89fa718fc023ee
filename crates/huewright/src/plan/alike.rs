//! Two alike: which setting moves the colour most, and which colours forgive.

use super::answer::{Alike, AreaPlan, Beside, Forgiving, Hold, SeenBeside};
use super::work::{Area, Work, colour_of, strays};
use crate::error::Fault;
use crate::json::lab_array;
use crate::matching::best::{Best, made};
use crate::matching::step::{Chance, Setting, Step, existing_nm};
use crate::matching::{ALIKE_DELTA_E, chance_beside};
use colour::{Lab, ciede2000};
use routes::Draw;

/// The first area stands for the part: its settings, and the colours that the last of them passes.
pub(super) fn alike(work: &Work<'_>, told: &[AreaPlan]) -> Result<Alike, Fault> {
    let mut words = Vec::new();
    for area in told {
        if let (Some(matched), Some(landed)) = (area.chance_match, area.chance) {
            words.push(format!(
                "{}: two pieces match one another (within {ALIKE_DELTA_E}, CIEDE2000) with a chance of {:.0} %; each lands on {} with {:.0} %: what the constants really are shifts both pieces together",
                area.name,
                100.0 * matched,
                if area.wanted.is_some() { "the wanted colour" } else { "the foretold colour" },
                100.0 * landed
            ));
        }
    }
    for (number, step, _) in work.areas.iter().flat_map(|a| &a.chain).filter(|(_, step, _)| !strays(step)) {
        let line = format!(
            "step {number}: no repeatability of {} is known, so no chance of a pair is told: run three coupons alike, and give it",
            step.machine()
        );
        if !words.contains(&line) {
            words.push(line);
        }
    }
    let mut hold = Vec::new();
    let mut by_colour = Vec::new();
    for area in &work.areas {
        if area.chain.is_empty() {
            continue;
        }
        hold.extend(holds(work, area));
        if by_colour.is_empty()
            && let Some((_, step, _)) = area.chain.last()
        {
            by_colour = forgiving(work, area, step)?;
        }
    }
    hold.sort_by(|a: &Hold, b| {
        b.scatter_delta_e.total_cmp(&a.scatter_delta_e).then(b.delta_e_per_unit.total_cmp(&a.delta_e_per_unit))
    });
    // Of several areas the worst; the sort has put it first.
    let mut told: Vec<(usize, String)> = Vec::new();
    hold.retain(|h| {
        let key = (h.step, h.setting.clone());
        let fresh = !told.contains(&key);
        told.push(key);
        fresh
    });
    if let (Some(best), Some(worst)) = (by_colour.first(), by_colour.last())
        && by_colour.len() > 1
    {
        words.push(format!(
            "1 {} moves {} by {:.1} and {} by {:.1} (CIEDE2000): pairs are easier in {}",
            best.unit, best.name, best.delta_e_per_unit, worst.name, worst.delta_e_per_unit, best.name
        ));
    }
    words.push("hang a pair together in one bath, or heat them side by side: what strays from run to run then strays for both (common practice)".to_owned());
    Ok(Alike { words, hold, by_colour, beside: None })
}

/// How a piece of `theirs` stands beside one of ours: the first area of each.
pub(super) fn beside(work: &Work<'_>, theirs: &Work<'_>, name: &str) -> Result<Beside, Fault> {
    let (ours, other) = (&work.areas[0], &theirs.areas[0]);
    let (mine, lab) = (work.lab(&ours.finish)?, work.lab(&other.finish)?);
    let shown = work.engine.swatch_of(lab, work.eye.viewing().white());
    let best = |area: &Area, lab: Lab, settings: Vec<Setting>| Best {
        settings,
        finish: area.finish.clone(),
        lab,
        delta_e: ciede2000(mine, lab),
    };
    let (a, b) = (Work::candidate(ours), Work::candidate(other));
    let strays_all = |area: &Area| area.chain.iter().all(|(_, step, _)| strays(step));
    let known = strays_all(ours) && strays_all(other) && !ours.chain.is_empty() && !other.chain.is_empty();
    let chance_match = known.then(|| {
        let (first, second) = (best(ours, mine, a.1), best(other, lab, b.1));
        chance_beside(work.engine, &work.eye, [(&a.0, &first), (&b.0, &second)], ALIKE_DELTA_E)
    });
    Ok(Beside {
        name: name.to_owned(),
        feasible: theirs.why_not.is_empty(),
        made: SeenBeside { lab: lab_array(lab), srgb: shown.srgb, word: shown.name },
        delta_e: ciede2000(mine, lab),
        chance_match,
    })
}

/// How far each setting of an area moves its colour.
fn holds(work: &Work<'_>, area: &Area) -> Vec<Hold> {
    let (candidate, settings) = Work::candidate(area);
    let Some(here) = colour_of(work, &area.finish) else { return Vec::new() };
    let colour = |settings: &[Setting], chances: &[Chance]| -> Option<Lab> {
        colour_of(work, &made(&candidate, settings, chances)?)
    };
    let mut list = Vec::new();
    for (i, (number, step, setting)) in area.chain.iter().enumerate() {
        // What one standard deviation of the machine does, either way.
        let by_run = |run: f64| {
            let mut chances = vec![Chance::default(); settings.len()];
            chances[i].draw = Draw { run, ..Draw::default() };
            colour(&settings, &chances).map_or(0.0, |lab| ciede2000(here, lab))
        };
        let scatter = 0.5 * (by_run(1.0) + by_run(-1.0));
        let (key, unit, nm) = match step {
            Step::Anodise { laws, .. } => ("voltage_v", "V", laws[0].1.ratio_nm_per_v),
            Step::Lay { .. } => ("thickness_nm", "nm", 1.0),
            Step::Heat { heat, .. } => {
                let existing = if i == 0 { existing_nm(&area.from, step.film()) } else { 0.0 };
                // As hot as an hour would be: near enough for one degree.
                let at_c = step.settings(*setting, existing).first().map_or(0.0, |(_, t)| *t);
                ("temperature_c", "C", heat.nm_per_kelvin(at_c, setting.thickness_nm, existing))
            }
        };
        let moved = |by: f64| {
            let mut turned = settings.clone();
            turned[i].thickness_nm = (turned[i].thickness_nm + by).max(0.0);
            colour(&turned, &[]).map_or(0.0, |lab| ciede2000(here, lab))
        };
        let per_unit = 0.5 * (moved(nm) + moved(-nm));
        list.push(Hold {
            step: *number,
            setting: key.to_owned(),
            delta_e_per_unit: per_unit,
            unit,
            scatter_delta_e: scatter,
            words: if strays(step) {
                format!(
                    "step {number}: 1 {unit} moves the colour by {per_unit:.1} here; {} strays by {scatter:.1} from run to run (one standard deviation)",
                    step.machine()
                )
            } else {
                format!("step {number}: 1 {unit} moves the colour by {per_unit:.1} here")
            },
        });
    }
    list
}

/// How much one unit of the last step's setting moves the colours that it passes: volts, or nanometres.
fn forgiving(work: &Work<'_>, area: &Area, step: &Step) -> Result<Vec<Forgiving>, Fault> {
    const POINTS: u32 = 240;
    const FEWEST: u32 = 3;
    let (unit, nm_per_unit) = match step {
        Step::Anodise { laws, .. } => ("V", laws[0].1.ratio_nm_per_v),
        _ => ("nm", 1.0),
    };
    let Some([low, high]) = step.allowed_nm(0.0).filter(|[low, high]| high > low) else { return Ok(Vec::new()) };
    let high = high.min(low + 400.0);
    let nm: Vec<f64> = (0..=POINTS).map(|i| low + (high - low) * f64::from(i) / f64::from(POINTS)).collect();
    let built = work.engine.build(&area.finish)?;
    let labs: Vec<Lab> =
        work.eye.see_turned(&built, area.finish.films.len() - 1, &nm)?.into_iter().map(|s| s.lab).collect();
    let step_units = (nm[1] - nm[0]) / nm_per_unit;
    let mut sums: Vec<(String, f64, u32)> = Vec::new();
    for w in labs.windows(2) {
        let name = work.engine.names().name(w[0]);
        let per_unit = ciede2000(w[0], w[1]) / step_units;
        match sums.iter_mut().find(|(n, ..)| n == name) {
            Some((_, sum, count)) => {
                *sum += per_unit;
                *count += 1;
            }
            None => sums.push((name.to_owned(), per_unit, 1)),
        }
    }
    let mut list: Vec<Forgiving> = sums
        .into_iter()
        .filter(|(_, _, count)| *count >= FEWEST)
        .map(|(name, sum, count)| Forgiving { name, delta_e_per_unit: sum / f64::from(count), unit })
        .collect();
    list.sort_by(|a, b| a.delta_e_per_unit.total_cmp(&b.delta_e_per_unit));
    Ok(list)
}
