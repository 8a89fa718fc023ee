//! The part on its way through the recipe: one finish for each area.

use super::PlanRequest;
use super::answer::{PartSize, Seen, WhyNot};
use super::bench::{Bench, PlanError};
use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::{finish_json, lab_array};
use crate::limits::Limits;
use crate::matching::enumerate::{Candidate, id_of};
use crate::matching::flat::lab_of;
use crate::matching::step::{Setting, Step};
use crate::matching::{ALIKE_DELTA_E, CautionJson, why_any};
use crate::part::area;
use crate::provenance::Source;
use crate::target::{Given, Target, parse_target};
use colour::{Lab, ciede2000};
use library::{BaseSpec, Circumstance, FinishFile, MediumAbove, PartFile, StepSpec, WantedSpec, WorkshopFile};
use optics::OpticsError;

/// Why a step is not told.
#[derive(Debug)]
pub(super) enum Stop {
    /// The recipe cannot be read.
    Fault(Fault),
    /// The step cannot be done.
    Cannot(Box<WhyNot>),
}

impl From<Fault> for Stop {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

impl From<PlanError> for Stop {
    fn from(error: PlanError) -> Self {
        Self::Fault(error.into())
    }
}

impl From<OpticsError> for Stop {
    fn from(error: OpticsError) -> Self {
        Self::Fault(error.into())
    }
}

/// A limit as the end of a plan.
pub(super) fn cannot(step: usize, limit: &'static str, words: String, nearest: Option<String>) -> Stop {
    Stop::Cannot(Box::new(WhyNot { step, limit, words: format!("step {step}: {words}"), nearest }))
}

/// A place along an area that was faded or heated unevenly.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Place {
    /// 0 to 100.
    pub(super) at: f64,
    pub(super) thickness_nm: f64,
    pub(super) voltage_v: Option<f64>,
    /// What was wanted here.
    pub(super) wanted: Option<Target>,
}

/// An area that differs along its length.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strip {
    /// A finish that bears the film of the places; its thickness is of no account.
    pub(super) finish: FinishFile,
    pub(super) places: Vec<Place>,
}

/// One area on its way.
#[derive(Debug, Clone)]
pub(super) struct Area {
    pub(super) name: String,
    pub(super) share: f64,
    pub(super) wanted: Option<Target>,
    pub(super) finish: FinishFile,
    /// What was done to it: number of the step, step, setting.
    pub(super) chain: Vec<(usize, Step, Setting)>,
    /// The start of the chain: the part as it was, or as a preparation left it.
    pub(super) from: FinishFile,
    /// What lies along it, after a fade or a gradient.
    pub(super) along: Option<Strip>,
    /// The last step that was its own, and the colour that it gave.
    pub(super) own: Option<(usize, Lab)>,
}

impl Area {
    /// Adds a step to the chain. One that grows the same film by the same law takes the place of the one before: what the
    /// law really is holds for both, and two goes at it make nothing surer.
    pub(super) fn keep(&mut self, number: usize, step: &Step, setting: Setting) {
        let same = match (self.chain.last().map(|(_, last, _)| last), step) {
            (Some(Step::Anodise { laws: a, .. }), Step::Anodise { laws: b, .. }) => a == b,
            (Some(Step::Heat { of: a, law: x, .. }), Step::Heat { of: b, law: y, .. }) => a == b && x == y,
            _ => false,
        };
        if same {
            self.chain.pop();
        }
        self.chain.push((number, step.clone(), setting));
    }
}

/// Everything that the steps of a plan share.
pub(super) struct Work<'w> {
    pub(super) engine: &'w Engine,
    pub(super) eye: Eye<'w>,
    pub(super) conditions: Conditions,
    pub(super) bench: Bench<'w>,
    pub(super) part: Option<&'w PartFile>,
    pub(super) size: Option<PartSize>,
    pub(super) start: FinishFile,
    pub(super) areas: Vec<Area>,
    pub(super) why_not: Vec<WhyNot>,
    pub(super) notes: Vec<String>,
    /// Limits of each axis about what is wanted, where the recipe gives them.
    pub(super) limits: Option<Limits>,
    uses: Vec<&'static str>,
}

impl<'w> Work<'w> {
    pub(super) fn new(engine: &'w Engine, request: &PlanRequest<'w>, conditions: &Conditions) -> Result<Self, Fault> {
        let recipe = request.recipe;
        let workshop: Option<&WorkshopFile> = request.workshop.or(recipe.workshop.as_ref());
        let part: Option<&PartFile> = request.part.or(recipe.part.as_ref());
        let mut notes = Vec::new();
        let start = match (&recipe.start, part) {
            (Some(start), Some(part)) => {
                if id_of(&start.base.material) != Some(&part.metal) {
                    notes.push(format!(
                        "the part is {}, but the recipe starts from {}: its own start is taken, of the part only the size",
                        part.metal,
                        id_of(&start.base.material).unwrap_or("an own material")
                    ));
                }
                start.clone()
            }
            (Some(start), None) => start.clone(),
            (None, Some(part)) => bare(part),
            (None, None) => return Err(PlanError::NoStart.into()),
        };
        let size = part.map(|p| area(engine, p)).transpose()?.map(|a| PartSize {
            area_cm2: a.area_cm2,
            one_cm2: a.one_cm2,
            count: a.count,
            how: a.how,
        });
        if size.is_none() {
            notes.push(
                "no part is given: currents and charges are those of each cm2; give --part for amperes".to_owned(),
            );
        }
        if workshop.is_none() {
            notes.push(
                "no workshop is given: supply and bath are taken without limits or resistance; give --workshop"
                    .to_owned(),
            );
        }
        let wanted = recipe.wanted.as_ref().map(|w| wanted_target(engine, w, conditions)).transpose()?.flatten();
        let limits = wanted
            .as_ref()
            .zip(recipe.wanted.as_ref().and_then(|w| w.limits.as_ref()))
            .map(|(target, limits)| Limits::new(target.lab, limits));
        if recipe.wanted.as_ref().is_some_and(|w| w.light.is_some() || w.observer.is_some()) {
            notes.push(format!("all colours are told for {}, as [wanted] says", conditions.words()));
        }
        let areas = areas(engine, request, &start, conditions, wanted)?;
        let uses = part.map(|p| p.uses.iter().map(|u| u.word()).collect()).unwrap_or_default();
        Ok(Self {
            engine,
            eye: Eye::new(engine, conditions)?,
            conditions: conditions.clone(),
            bench: Bench { workshop },
            part,
            size,
            start,
            areas,
            why_not: Vec::new(),
            notes,
            limits,
            uses,
        })
    }

    /// Indices of the areas that a step reaches; the reader has seen to it that they exist.
    pub(super) fn reached(&self, spec: &StepSpec) -> Vec<usize> {
        let named = |area: &Area| spec.areas.is_empty() || spec.areas.contains(&area.name);
        (0..self.areas.len()).filter(|i| named(&self.areas[*i])).collect()
    }

    /// The area of the whole part, cm2; 1 where it is not known.
    pub(super) fn whole_cm2(&self) -> f64 {
        self.size.as_ref().map_or(1.0, |s| s.area_cm2)
    }

    pub(super) fn lab(&self, finish: &FinishFile) -> Result<Lab, Fault> {
        let built = self.engine.build(finish)?;
        Ok(self.eye.lab(&built, built.values())?)
    }

    pub(super) fn seen(&self, finish: &FinishFile) -> Result<Seen, Fault> {
        let lab = self.lab(finish)?;
        let shown = self.engine.swatch_of(lab, self.eye.viewing().white());
        Ok(Seen { finish: finish_json(finish), lab: lab_array(lab), shown })
    }

    /// Cautions of a step on an area.
    pub(super) fn cautions(&self, route: &str, finish: &FinishFile, more: Circumstance<'_>) -> Vec<CautionJson> {
        let met = std::iter::once(&finish.base.material).chain(finish.films.iter().map(|f| &f.material));
        let mut materials: Vec<&str> = met.clone().filter_map(id_of).collect();
        let unknown_material = materials.len() < met.count();
        materials.extend(more.materials.iter().copied());
        let circumstance = Circumstance { route, materials, unknown_material, uses: self.uses.clone(), ..more };
        self.engine.library().cautions().iter().filter(|c| c.applies(&circumstance)).map(CautionJson::from).collect()
    }

    /// Notes it when a step changed an area that had got its own colour before.
    pub(super) fn watch_finished(&mut self, spec: &StepSpec, reached: &[usize]) -> Result<(), Fault> {
        let own = !spec.areas.is_empty() && reached.len() < self.areas.len();
        for i in reached {
            if self.areas[*i].chain.last().is_none_or(|(n, ..)| *n != spec.number) {
                continue;
            }
            let lab = self.lab(&self.areas[*i].finish)?;
            let area = &mut self.areas[*i];
            if let Some((by, before)) = area.own
                && !own
                && ciede2000(before, lab) > ALIKE_DELTA_E
            {
                let words = format!(
                    "step {}: it changes '{}', which step {by} had finished (by {:.1}, CIEDE2000)",
                    spec.number,
                    area.name,
                    ciede2000(before, lab)
                );
                let nearest = format!(
                    "do step {} before step {by}, or keep '{}' out of it with areas = [...]",
                    spec.number, area.name
                );
                self.why_not.push(WhyNot { step: spec.number, limit: "order", words, nearest: Some(nearest) });
            }
            if own {
                area.own = Some((spec.number, lab));
            }
        }
        Ok(())
    }

    /// The candidate and settings that `match` would know this area by.
    pub(super) fn candidate(area: &Area) -> (Candidate, Vec<Setting>) {
        let steps = area.chain.iter().map(|(_, step, _)| step.clone()).collect();
        let settings = area.chain.iter().map(|(_, _, setting)| *setting).collect();
        (Candidate { start: area.from.clone(), steps }, settings)
    }

    pub(super) fn sources(&self, conditions: &Conditions) -> Vec<Source> {
        let candidates: Vec<Candidate> = self.areas.iter().map(|a| Self::candidate(a).0).collect();
        why_any(self.engine, &candidates, conditions)
    }
}

/// Whether a step is known to stray from run to run at all.
pub(super) fn strays(step: &Step) -> bool {
    match step {
        Step::Anodise { supply, .. } => supply.repeatability_v > 0.0,
        Step::Heat { oven, .. } => oven.repeatability_c > 0.0,
        Step::Lay { coater, .. } => coater.repeatability > 0.0,
    }
}

/// Whether a colour bears the trade word that was asked for.
pub(super) fn bears(engine: &Engine, wanted: &Target, lab: Lab) -> bool {
    matches!(&wanted.kind, Given::Word(word) if engine.names().name(lab) == word)
}

/// The colour that a finish has, where it can be seen at all.
pub(super) fn colour_of(work: &Work<'_>, finish: &FinishFile) -> Option<Lab> {
    lab_of(work.engine, &work.eye, finish)
}

/// A part as it comes: the bare metal.
pub(super) fn bare(part: &PartFile) -> FinishFile {
    FinishFile {
        name: None,
        medium: MediumAbove::Air,
        base: BaseSpec {
            material: library::MaterialRef::Library { id: part.metal.clone(), source: None },
            texture: part.texture.clone(),
        },
        films: Vec::new(),
        over: Vec::new(),
    }
}

/// What a recipe says is wanted: a colour, or the Lab value that `match` wrote.
pub(super) fn wanted_target(
    engine: &Engine,
    spec: &WantedSpec,
    conditions: &Conditions,
) -> Result<Option<Target>, Fault> {
    if let Some(colour) = &spec.colour {
        return parse_target(engine, colour, conditions).map(Some);
    }
    let Some([l, a, b]) = spec.lab else { return Ok(None) };
    let target = parse_target(engine, &format!("lab({l}, {a}, {b})"), conditions)?;
    let given = spec.given.clone().unwrap_or_else(|| target.given.clone());
    Ok(Some(Target { given, ..target }))
}

/// The areas of a recipe before its first step.
pub(super) fn areas(
    engine: &Engine,
    request: &PlanRequest<'_>,
    start: &FinishFile,
    conditions: &Conditions,
    wanted: Option<Target>,
) -> Result<Vec<Area>, Fault> {
    let recipe = request.recipe;
    let one = |name: &str, share: f64, wanted: Option<Target>| Area {
        name: name.to_owned(),
        share,
        wanted,
        finish: start.clone(),
        chain: Vec::new(),
        from: start.clone(),
        along: None,
        own: None,
    };
    if recipe.areas.is_empty() {
        return Ok(vec![one("whole", 1.0, wanted)]);
    }
    recipe
        .areas
        .iter()
        .map(|a| {
            let own = a.wanted.as_ref().map(|c| parse_target(engine, c, conditions)).transpose()?;
            Ok(one(&a.name, a.share, own))
        })
        .collect()
}
