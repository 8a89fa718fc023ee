//! Several colours on one part, without steps: the order of steps that makes them in one bath.
//!
//! A finished film does not grow at a lower voltage, so the highest voltage comes first over everything; then the next area
//! is bared, and the whole goes back at its own, lower voltage, without a mask.

use super::PlanRequest;
use super::answer::WhyNot;
use super::bench::PlanError;
use super::work::{areas, bare, bears, wanted_target};
use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use crate::finish::Eye;
use crate::matching::best::{Best, Reach, bests};
use crate::matching::enumerate::{Candidate, candidates};
use crate::matching::step::Step;
use crate::matching::{FEASIBLE_DELTA_E, setting_words};
use crate::target::Target;
use library::{AnodiseSpec, Anodiser, FinishFile, RecipeFile, StepSpec, StepWhat};
use routes::supply::stacked_v;

/// Volts closer than this are one step, V.
const SAME_V: f64 = 0.5;

/// What is proposed.
pub(super) struct Proposal {
    pub(super) recipe: RecipeFile,
    /// The steps as lines of a recipe file.
    pub(super) text: String,
    /// Colours that the bath does not make.
    pub(super) why_not: Vec<WhyNot>,
}

struct Aim {
    area: String,
    voltage_v: f64,
    machine: String,
    bath: String,
}

/// The recipe of `request` with steps for the colours that its areas want.
pub(super) fn propose(engine: &Engine, request: &PlanRequest<'_>, conditions: &Conditions) -> Result<Proposal, Fault> {
    let recipe = request.recipe;
    let workshop = request.workshop.or(recipe.workshop.as_ref()).ok_or(PlanError::NoSteps)?;
    let start = match (&recipe.start, request.part.or(recipe.part.as_ref())) {
        (Some(start), _) => start.clone(),
        (None, Some(part)) => bare(part),
        (None, None) => return Err(PlanError::NoStart.into()),
    };
    let eye = Eye::new(engine, conditions)?;
    let (ways, _) = candidates(engine, workshop, std::slice::from_ref(&start));
    let baths: Vec<Candidate> = ways.into_iter().filter(|c| matches!(&c.steps[..], [Step::Anodise { .. }])).collect();
    let wanted = recipe.wanted.as_ref().map(|w| wanted_target(engine, w, conditions)).transpose()?.flatten();
    let (mut aims, mut why_not) = (Vec::new(), Vec::new());
    for area in areas(engine, request, &start, conditions, wanted)? {
        let Some(target) = &area.wanted else { return Err(PlanError::NoWanted { area: area.name }.into()) };
        let Some((candidate, found)) = nearest(engine, &eye, &baths, target)? else {
            why_not.push(WhyNot {
                step: 1,
                limit: "metal",
                words: format!("'{}': no bath of the workshop grows a film on this metal", area.name),
                nearest: None,
            });
            continue;
        };
        if found.delta_e > FEASIBLE_DELTA_E && !bears(engine, target, found.lab) {
            why_not.push(WhyNot {
                step: 1,
                limit: "bath",
                words: format!(
                    "'{}': {} comes within {:.1} (CIEDE2000) at best in a bath",
                    area.name, target.given, found.delta_e
                ),
                nearest: Some(format!("wanted = \"{}\"", engine.names().name(found.lab))),
            });
        }
        let Step::Anodise { supply, bath, laws, .. } = &candidate.steps[0] else { continue };
        aims.push(Aim {
            area: area.name,
            voltage_v: settable(laws[0].1.voltage_v(found.settings[0].thickness_nm), supply),
            machine: supply.name.clone(),
            bath: bath.name.clone(),
        });
    }
    aims.sort_by(|a, b| b.voltage_v.total_cmp(&a.voltage_v));
    let steps = steps(&aims, &start);
    let text = steps.iter().map(lines).collect();
    Ok(Proposal { recipe: RecipeFile { steps, ..recipe.clone() }, text, why_not })
}

/// Volts as a person sets them.
fn settable(volts: f64, supply: &Anodiser) -> f64 {
    supply.step_v.map_or((10.0 * volts).round() / 10.0, |step| stacked_v(volts, step, supply.max_voltage_v).max(step))
}

fn nearest<'c>(
    engine: &Engine,
    eye: &Eye<'_>,
    baths: &'c [Candidate],
    target: &Target,
) -> Result<Option<(&'c Candidate, Best)>, Fault> {
    let mut found: Option<(&Candidate, Best)> = None;
    for candidate in baths {
        for b in bests(engine, eye, candidate, target.lab, Reach::Allowed)? {
            // Who asked for a trade word gets what bears it, before what only comes nearer to its target.
            let rank = |b: &Best| (!bears(engine, target, b.lab), b.delta_e);
            if found.as_ref().is_none_or(|(_, f)| rank(&b) < rank(f)) {
                found = Some((candidate, b));
            }
        }
    }
    Ok(found)
}

fn steps(aims: &[Aim], start: &FinishFile) -> Vec<StepSpec> {
    let mut list: Vec<(Vec<String>, StepWhat)> = vec![(Vec::new(), prepare("clean"))];
    let baring = match start.base.texture.word.as_deref() {
        Some("mirror") => "polish",
        Some("blasted") => "blast",
        _ => "strip",
    };
    let mut last: Option<f64> = None;
    for (i, aim) in aims.iter().enumerate() {
        if last.is_some_and(|v: f64| v - aim.voltage_v < SAME_V) {
            continue;
        }
        if last.is_some() {
            let bared = aims[i..].iter().take_while(|a| aim.voltage_v - a.voltage_v < SAME_V);
            list.push((bared.map(|a| a.area.clone()).collect(), prepare(baring)));
        }
        last = Some(aim.voltage_v);
        list.push((
            Vec::new(),
            StepWhat::Anodise(AnodiseSpec {
                machine: Some(aim.machine.clone()),
                bath: Some(aim.bath.clone()),
                film: None,
                electrolyte: None,
                voltage_v: Some(aim.voltage_v),
                ramp_v_per_s: None,
                hold_s: None,
                stop_current_a: None,
                fade: None,
                brush: None,
            }),
        ));
    }
    list.into_iter().enumerate().map(|(i, (areas, what))| StepSpec { line: 1, number: i + 1, areas, what }).collect()
}

fn prepare(id: &str) -> StepWhat {
    StepWhat::Prepare { id: id.to_owned(), with: None }
}

/// A step as it stands in a recipe file.
fn lines(step: &StepSpec) -> String {
    let quoted = |text: &str| serde_json::Value::String(text.to_owned()).to_string();
    let mut text = "\n[[step]]\n".to_owned();
    match &step.what {
        StepWhat::Prepare { id, .. } => text.push_str(&format!("preparation = {}\n", quoted(id))),
        StepWhat::Anodise(a) => {
            text.push_str("route = \"anodise\"\n");
            for (key, value) in [("machine", &a.machine), ("bath", &a.bath)] {
                if let Some(value) = value {
                    text.push_str(&format!("{key} = {}\n", quoted(value)));
                }
            }
            if let Some(volts) = a.voltage_v {
                text.push_str(&format!("voltage_v = {volts:?}  # {}\n", setting_words("voltage_v", volts)));
            }
        }
        StepWhat::Heat(_) | StepWhat::Lay(_) => {}
    }
    if !step.areas.is_empty() {
        let names: Vec<String> = step.areas.iter().map(|a| quoted(a)).collect();
        text.push_str(&format!("areas = [{}]\n", names.join(", ")));
    }
    text
}
