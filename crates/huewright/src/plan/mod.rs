//! Exactly what happens, minute by minute, and what do I do?
//!
//! A recipe is run through the routes in time: volts, amperes, film and colour; heat and oxide; what a preparation does.
//! Each step tells what to set, to do and to watch, and its cautions. A step that cannot be done ends the plan with the
//! limit and the nearest setting that works. The finish of each area then goes through the same odds as `match`.

mod alike;
mod anodise;
mod answer;
mod bench;
mod brush;
mod coat;
mod coat_refused;
mod colours;
mod cue;
mod fade;
mod heat;
mod hoist;
mod judged;
mod lifting;
mod options;
mod prepare;
mod propose;
mod rig;
mod sizing;
mod trace;
mod work;

pub use answer::{
    Alike, Along, AreaPlan, Band, BeatJson, Beside, Choice, Forgiving, Hold, Lasts, Lift, PartSize, Passed, Plan, Seen,
    Set, SetOfPieces, Sizing, StepPlan, Trace, WantedColour, WhyNot,
};
pub use bench::PlanError;
pub(crate) use options::choices;

use crate::engine::{Conditions, Engine, Light};
use crate::error::Fault;
use crate::limits::Limits;
use crate::matching::CautionJson;
use crate::matching::enumerate::Candidate;
use crate::matching::step::Setting;
use crate::target::Target;
use library::{PartFile, RecipeFile, StepSpec, StepWhat, WorkshopFile};
use optics::Geometry;
use work::{Stop, Work};

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct PlanRequest<'r> {
    /// The recipe.
    pub recipe: &'r RecipeFile,
    /// In place of the recipe's own workshop.
    pub workshop: Option<&'r WorkshopFile>,
    /// In place of the recipe's own part.
    pub part: Option<&'r PartFile>,
    /// Another recipe, whose pieces shall match those of this one.
    pub beside: Option<&'r RecipeFile>,
}

/// Runs a recipe.
///
/// # Errors
/// [`Fault`] for names, colours and numbers that cannot be read. What cannot be *done* is no error: it stands in
/// [`Plan::why_not`].
pub fn plan(engine: &Engine, request: &PlanRequest<'_>, conditions: &Conditions) -> Result<Plan, Fault> {
    if conditions.geometry != Geometry::Included {
        return Err(Fault::Geometry);
    }
    let asked = judged_under(request.recipe, conditions);
    let conditions = &asked;
    let proposal =
        if request.recipe.steps.is_empty() { Some(propose::propose(engine, request, conditions)?) } else { None };
    let request = match &proposal {
        Some(p) => &PlanRequest { recipe: &p.recipe, ..*request },
        None => request,
    };
    let mut work = Work::new(engine, request, conditions)?;
    work.why_not.extend(proposal.iter().flat_map(|p| p.why_not.clone()));
    let start = work.seen(&work.start.clone())?;
    let mut steps = work_through(&mut work, &request.recipe.steps)?;
    let areas = colours::areas(&mut work)?;
    let mut alike = alike::alike(&work, &areas)?;
    if let Some(other) = request.beside {
        let asked = PlanRequest { recipe: other, workshop: None, part: None, beside: None };
        let mut theirs = Work::new(engine, &asked, conditions)?;
        work_through(&mut theirs, &other.steps)?;
        alike.beside = Some(alike::beside(&work, &theirs, other.name.as_deref().unwrap_or("the other recipe"))?);
    }
    for step in &mut steps {
        for set in &mut step.set {
            set.tightest = alike.hold.first().is_some_and(|h| h.step == step.number && h.setting == set.key);
        }
    }
    let options = options::options(&work)?;
    let mut cautions: Vec<CautionJson> = Vec::new();
    for caution in steps.iter().flat_map(|s| &s.cautions) {
        if !cautions.contains(caution) {
            cautions.push(caution.clone());
        }
    }
    let sources = work.sources(conditions);
    Ok(Plan {
        schema: 1,
        name: request.recipe.name.clone().unwrap_or_else(|| "recipe".to_owned()),
        feasible: work.why_not.is_empty(),
        why_not: work.why_not,
        start,
        part: work.size,
        steps,
        areas,
        alike,
        options,
        cautions,
        notes: work.notes,
        sources,
        proposed: proposal.as_ref().map(|p| p.text.clone()),
    })
}

/// What a recipe comes to: the way of its part as `match` would know it.
pub(crate) struct Followed {
    /// The part and what was done to it, and the settings of each step.
    pub(crate) candidate: Candidate,
    pub(crate) settings: Vec<Setting>,
    /// Number of each step in the recipe.
    pub(crate) numbers: Vec<usize>,
    /// What is wanted, and limits about it.
    pub(crate) wanted: Option<Target>,
    pub(crate) limits: Option<Limits>,
    /// Why it cannot be done.
    pub(crate) why_not: Vec<WhyNot>,
}

/// Follows a recipe without telling its steps. Of several areas the first stands for the part.
///
/// # Errors
/// As [`plan`].
pub(crate) fn follow(engine: &Engine, request: &PlanRequest<'_>, conditions: &Conditions) -> Result<Followed, Fault> {
    let mut work = Work::new(engine, request, conditions)?;
    work_through(&mut work, &request.recipe.steps)?;
    let area = &work.areas[0];
    let (candidate, settings) = Work::candidate(area);
    Ok(Followed {
        candidate,
        settings,
        numbers: area.chain.iter().map(|(number, ..)| *number).collect(),
        wanted: area.wanted.clone(),
        limits: work.limits,
        why_not: work.why_not,
    })
}

/// The light and the observer of the question, unless the wanted colour brings its own.
pub fn judged_under(recipe: &RecipeFile, conditions: &Conditions) -> Conditions {
    let wanted = recipe.wanted.as_ref();
    let own = |word: &String| Light::Named(word.clone());
    Conditions {
        light: wanted.and_then(|w| w.light.as_ref()).map_or_else(|| conditions.light.clone(), own),
        observer: wanted.and_then(|w| w.observer).map_or_else(|| conditions.observer.clone(), |o| o.to_string()),
        ..conditions.clone()
    }
}

/// Does the steps, until one cannot be done.
fn work_through(work: &mut Work<'_>, specs: &[StepSpec]) -> Result<Vec<StepPlan>, Fault> {
    let mut steps = Vec::new();
    for spec in specs {
        let areas = work.reached(spec);
        let told = match &spec.what {
            StepWhat::Anodise(a) => anodise::anodise(work, spec.number, &areas, a),
            StepWhat::Heat(h) => heat::heat(work, spec.number, &areas, h),
            StepWhat::Lay(l) => coat::lay(work, spec.number, &areas, l),
            StepWhat::Prepare { id, with } => prepare::prepare(work, spec.number, &areas, id, with.as_deref()),
        };
        match told {
            Ok(step) => {
                steps.push(step);
                work.watch_finished(spec, &areas)?;
            }
            Err(Stop::Fault(fault)) => return Err(fault),
            Err(Stop::Cannot(why)) => {
                work.why_not.push(*why);
                break;
            }
        }
    }
    Ok(steps)
}
