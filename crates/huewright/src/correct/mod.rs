//! Why did it miss; what next?
//!
//! For the loads of a coater: each load's witness colours are compared with what the recipe should have shown; the first
//! load teaches how far the published constants are off in this machine, later ones are explained by what has changed
//! since. Causes are weighed by evidence, each with a cheap check and one change; what drifts is followed, and the next
//! settings are told with their chance. Where no recipe or no table stands behind a film, the shop's own runs alone speak.

mod answer;
mod causes;
mod house;
mod model;
mod next;
mod told;

pub use answer::{
    CauseTold, Change, Correction, LoadTold, Next, ResponseJson, Slope, Trend, WantedJson, WhyTold, WitnessTold,
};

use crate::chamber::load::Loaded;
use crate::engine::{Conditions, Engine, Light};
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::lab_array;
use crate::limits::Limits;
use crate::matching::enumerate::Candidate;
use crate::matching::step::Step;
use crate::matching::{CautionJson, told_steps, why_any};
use crate::plan::{Followed, PlanRequest, follow};
use crate::target::{Target, parse_target};
use causes::{Reading, Shift, Suspect, Verdict};
use colour::Lab;
use library::{Circumstance, LoadRow, LoadsFile, WantedSpec, WorkshopFile};
use model::{Change as Gone, Model, coater};
use optics::Geometry;

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct CorrectRequest<'r> {
    /// The log.
    pub loads: &'r LoadsFile,
    /// In place of the recipe's own workshop.
    pub workshop: Option<&'r WorkshopFile>,
}

/// A log that cannot be corrected as it is.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CorrectError {
    /// The recipe cannot be done.
    #[error("the recipe of this log cannot be done as it is written: {words}; mend it first (`huewright plan`)")]
    Recipe {
        /// Why not.
        words: String,
    },
    /// The recipe ends in something else than a film from a coater.
    #[error("the recipe of this log does not end in a film from a coater; the log of loads is for coaters")]
    NoCoater,
    /// A witness that stood outside the load.
    #[error(
        "{load}: the witness '{at}' stands {height_mm} mm above the middle; the load reaches {half_mm} mm up and down: mend height_mm, or height_mm of [coater.load]"
    )]
    Height {
        /// The load.
        load: String,
        /// The witness.
        at: String,
        /// What was given.
        height_mm: f64,
        /// Half the load.
        half_mm: f64,
    },
    /// No load has a witness.
    #[error(
        "no load has a witness: write [[load.witness]] with at = \"middle\" and lab = [38, 4, -42] under one at least"
    )]
    NoWitness,
}

/// Explains loads and tells the next.
///
/// # Errors
/// [`Fault`] for what cannot be read, and [`CorrectError`] for a log that nothing can be said of.
pub fn correct(engine: &Engine, request: &CorrectRequest<'_>) -> Result<Correction, Fault> {
    let log = request.loads;
    if log.loads.iter().all(|l| l.witnesses.is_empty()) {
        return Err(CorrectError::NoWitness.into());
    }
    let conditions = Conditions {
        light: Light::Named(log.light.clone()),
        observer: log.observer.to_string(),
        tilt_deg: 0.0,
        geometry: Geometry::Included,
    };
    let eye = Eye::new(engine, &conditions)?;
    let followed = log.recipe.as_ref().map(|recipe| {
        let asked = PlanRequest { recipe, workshop: request.workshop, part: None, beside: None };
        follow(engine, &asked, &conditions)
    });
    let followed = followed.transpose()?;
    if let Some(f) = &followed {
        if let Some(why) = f.why_not.first() {
            return Err(CorrectError::Recipe { words: why.words.clone() }.into());
        }
        if coater(&f.candidate).is_none() {
            return Err(CorrectError::NoCoater.into());
        }
    }
    if let Some(loaded) = followed.as_ref().and_then(|f| coater(&f.candidate)).and_then(Loaded::of) {
        within(log, loaded.half_height_mm())?;
    }
    let wanted = wanted(engine, log, followed.as_ref(), &conditions)?;
    let mut notes = notes(log, &wanted, &conditions);
    let mut loads: Vec<LoadTold> = told::rows(engine, log, &wanted, eye.viewing().white());
    let (mut trend, mut response) = (None, None);
    let next;
    match &followed {
        Some(followed) => {
            let weighed = weigh(engine, &eye, followed, log);
            for (told, w) in loads.iter_mut().zip(&weighed.loads) {
                told::explained(engine, followed, log, told, w, weighed.reference);
            }
            notes.extend(weighed.notes.clone());
            trend = next::trend(log, &weighed);
            next = next::next(engine, &eye, followed, log, &weighed, trend.as_ref(), &wanted);
        }
        None => {
            let house = house::response(engine, log, &wanted, eye.viewing().white());
            notes.push(
                "the log names no recipe: only the shop's own runs speak, between the settings that were tried"
                    .to_owned(),
            );
            (response, next) = (Some(house.0), house.1);
        }
    }
    let candidate = followed.as_ref().map(|f| &f.candidate);
    Ok(Correction {
        schema: 1,
        name: log.name.clone().unwrap_or_else(|| "loads".to_owned()),
        seen_under: conditions.words(),
        wanted: wanted.target.as_ref().map(|t| WantedJson {
            lab: lab_array(t.lab),
            shown: engine.swatch_of(t.lab, t.white),
            limits: wanted.limits.map(|l| l.axes),
        }),
        film: candidate.and_then(|c| c.steps.last()).map(|s| s.film().to_owned()),
        loads,
        trend,
        next,
        response,
        notes,
        cautions: followed.as_ref().map_or_else(|| gas_cautions(engine, log), |f| cautions(engine, f)),
        sources: candidate.map_or_else(Vec::new, |c| why_any(engine, std::slice::from_ref(c), &conditions)),
    })
}

/// Witnesses whose place is not one of the load's.
fn unplaced(log: &LoadsFile, loaded: &Loaded) -> Option<String> {
    let known: Vec<String> = loaded.positions().into_iter().map(|p| p.name).collect();
    let mut strange: Vec<&str> = log
        .loads
        .iter()
        .flat_map(|l| &l.witnesses)
        .filter(|w| w.height_mm.is_none() && !model::placed(&known, &w.at))
        .map(|w| w.at.as_str())
        .collect();
    strange.dedup();
    (!strange.is_empty()).then(|| {
        format!(
            "taken as standing in the middle, as the load has no such place: '{}'; it has {}; or give height_mm",
            strange.join("', '"),
            known.join(", ")
        )
    })
}

/// Witnesses stand within the load.
fn within(log: &LoadsFile, half_mm: f64) -> Result<(), CorrectError> {
    for load in &log.loads {
        for witness in &load.witnesses {
            if let Some(height_mm) = witness.height_mm.filter(|h| h.abs() > half_mm + 1e-9) {
                return Err(CorrectError::Height {
                    load: load.name.clone(),
                    at: witness.at.clone(),
                    height_mm,
                    half_mm,
                });
            }
        }
    }
    Ok(())
}

fn cautions(engine: &Engine, followed: &Followed) -> Vec<CautionJson> {
    told_steps(engine, &followed.candidate, Some(&followed.settings)).1
}

/// Without a recipe nothing is known but the gases that the log names.
fn gas_cautions(engine: &Engine, log: &LoadsFile) -> Vec<CautionJson> {
    let flows = log.loads.iter().flat_map(|l| &l.settings).filter(|(_, flow)| *flow > 0.0);
    let gases: Vec<&str> = flows.filter_map(|(key, _)| key.strip_suffix("_sccm")).collect();
    let circumstance = Circumstance { route: "sputter", gases, unknown_material: true, ..Circumstance::default() };
    engine.library().cautions().iter().filter(|c| c.applies(&circumstance)).map(CautionJson::from).collect()
}

/// What is wanted of the loads.
struct Wanted {
    target: Option<Target>,
    limits: Option<Limits>,
}

fn wanted(
    engine: &Engine,
    log: &LoadsFile,
    followed: Option<&Followed>,
    conditions: &Conditions,
) -> Result<Wanted, Fault> {
    let Some(spec) = &log.wanted else {
        return Ok(Wanted { target: followed.and_then(|f| f.wanted.clone()), limits: followed.and_then(|f| f.limits) });
    };
    let target = match (&spec.colour, spec.lab) {
        (Some(colour), _) => Some(parse_target(engine, colour, conditions)?),
        (None, Some([l, a, b])) => Some(parse_target(engine, &format!("lab({l}, {a}, {b})"), conditions)?),
        (None, None) => None,
    };
    let limits = target.as_ref().zip(spec.limits.as_ref()).map(|(t, l)| Limits::new(t.lab, l));
    Ok(Wanted { target, limits })
}

fn notes(log: &LoadsFile, wanted: &Wanted, conditions: &Conditions) -> Vec<String> {
    let mut list = Vec::new();
    let spec: Option<&WantedSpec> = log.wanted.as_ref().or_else(|| log.recipe.as_ref().and_then(|r| r.wanted.as_ref()));
    if let Some(spec) = spec {
        let light = spec.light.as_ref().is_some_and(|l| *l != log.light);
        let observer = spec.observer.is_some_and(|o| o != log.observer);
        if light || observer {
            list.push(format!(
                "the wanted colour names another light or observer than the log: its numbers are taken as they stand, for {}; measure both alike",
                conditions.words()
            ));
        }
    }
    list.extend(wanted.target.iter().flat_map(|t| t.notes.clone()));
    if wanted.target.is_none() {
        list.push(
            "nothing says what is wanted: write [wanted] with lab or colour, and the next settings are told".to_owned(),
        );
    }
    list
}

/// What was made of every load.
struct Weighed<'w> {
    /// One for each load, `None` where it has no witness.
    loads: Vec<Option<One<'w>>>,
    /// Which load taught the shift of the constants.
    reference: Option<usize>,
    /// The shift after it.
    shift: Shift,
    notes: Vec<String>,
}

/// What was made of one.
struct One<'w> {
    model: Model<'w>,
    verdict: Verdict,
    /// What each suspect of the verdict is.
    kinds: Vec<Kind>,
    /// Colours as foretold, with the shift that was known.
    foretold: Vec<Lab>,
}

/// A kind of amount.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    /// Logarithm of the thickness share of the outermost film.
    Top,
    /// The same of the film below.
    Below,
    /// Share from the middle to the top of the load.
    Rise,
    /// Composition of a step's film.
    Composition(usize),
    /// Oxide, nm.
    Oxide,
}

impl Kind {
    fn change(self, amount: f64) -> Gone {
        match self {
            Self::Top => Gone { top: amount, ..Gone::default() },
            Self::Below => Gone { below: amount, ..Gone::default() },
            Self::Rise => Gone { rise: amount, ..Gone::default() },
            Self::Composition(step) => Gone { composition: Some((step, amount)), ..Gone::default() },
            Self::Oxide => Gone { oxide_nm: amount, ..Gone::default() },
        }
    }
}

/// How large amounts usually are that are called a fault, one standard deviation: own judgement, common practice.
const USUAL_THICKNESS: f64 = 0.12;
const USUAL_RISE: f64 = 0.10;
const USUAL_COMPOSITION: f64 = 0.10;
const USUAL_OXIDE_NM: f64 = 2.0;
/// A cause whose usual amount moves no witness by more than this (Lab) cannot be told by these colours.
const SEEN: f64 = 0.5;
/// Amounts are followed so many of their usual sizes far.
const REACH: f64 = 4.0;
/// A first load that lies further from what was foretold than all doubts together explain once in a thousand times (chi
/// squared, three degrees of freedom) makes a poor reference.
const STRANGE: f64 = 16.3;

fn suspects<'c>(
    engine: &'c Engine,
    candidate: &'c Candidate,
    model: &Model<'_>,
) -> Vec<(Kind, [Option<&'c str>; 2], f64)> {
    let mut list = vec![(Kind::Top, [Some("thin"), Some("thick")], USUAL_THICKNESS)];
    let heights: Vec<f64> = model.places.iter().filter_map(|p| p.1).collect();
    if heights.iter().any(|h| heights.iter().any(|other| (h - other).abs() > 0.2)) {
        list.push((Kind::Rise, [Some("uneven-height"), Some("uneven-height")], USUAL_RISE));
    }
    for (i, step) in candidate.steps.iter().enumerate() {
        let drifts = engine.library().entry(step.film()).ok().and_then(|e| e.family.as_ref()?.drifts.as_ref());
        if let (Step::Lay { grade: None, .. }, Some([less, more])) = (step, drifts) {
            list.push((Kind::Composition(i), [Some(less), Some(more)], USUAL_COMPOSITION));
        }
    }
    if candidate.steps.len() > 1 {
        list.push((Kind::Below, [Some("base-off"), Some("base-off")], USUAL_THICKNESS));
    }
    list.push((Kind::Oxide, [None, Some("oxidised")], USUAL_OXIDE_NM));
    list
}

/// Whether the usual amount of a kind shows at all.
fn shows(model: &Model<'_>, same: &[Lab], kind: Kind, usual: f64) -> bool {
    [-usual, usual].iter().any(|amount| {
        model.shows(kind.change(*amount)).is_some_and(|labs| {
            labs.iter().zip(same).any(|(a, b)| causes::minus(*a, *b).iter().any(|d| d.abs() > SEEN))
        })
    })
}

fn weigh<'w>(engine: &'w Engine, eye: &'w Eye<'w>, followed: &'w Followed, log: &LoadsFile) -> Weighed<'w> {
    let candidate = &followed.candidate;
    let loaded = coater(candidate).and_then(Loaded::of);
    let mut notes = Vec::new();
    if loaded.is_none() {
        notes.push("the coater says nothing of its load: witnesses are taken as standing in the middle; give [coater.load] and [[coater.target]]".to_owned());
    }
    if let Some(loaded) = &loaded {
        notes.extend(unplaced(log, loaded));
    }
    let mut shift: Option<Shift> = None;
    let mut reference = None;
    let mut list = Vec::new();
    for (number, row) in log.loads.iter().enumerate() {
        let model = Model::of(engine, eye, followed, loaded.as_ref(), row);
        let Some(same) = model.shows(Gone::default()).filter(|s| !s.is_empty()) else {
            list.push(None);
            continue;
        };
        let known = *shift.get_or_insert_with(|| Shift { mean: [0.0; 3], covariance: model.constants() });
        let one = weigh_one(engine, candidate, model, row, known, same.clone());
        // Later loads teach it nothing: a slow drift would hide in it.
        if reference.is_none() {
            let seen: Vec<Lab> = row.witnesses.iter().map(lab_of_witness).collect();
            let scatter = one.model.scatter();
            let reading = Reading { seen: &seen, shift: known, scatter, each: one.model.each() };
            if reference.is_none() && reading.distance(&same) > STRANGE {
                notes.push(format!(
                    "{} lies further from what its recipe makes than the tables disagree: if it was no good load, all that follows is judged against a bad one. See whether light, observer, seconds and recipe are those of this load, and begin the log with a load that was right",
                    row.name
                ));
            }
            shift = Some(reading.learnt(&same));
            reference = Some(number);
        }
        list.push(Some(one));
    }
    if let Some(first) = reference {
        notes.push(format!(
            "{} is the reference: what it is off by is laid to the constants of the films, and later loads are judged against it",
            log.loads[first].name
        ));
    }
    let shift = shift.unwrap_or(Shift { mean: [0.0; 3], covariance: causes::diagonal(0.0) });
    Weighed { loads: list, reference, shift, notes }
}

fn weigh_one<'w>(
    engine: &'w Engine,
    candidate: &'w Candidate,
    model: Model<'w>,
    row: &LoadRow,
    shift: Shift,
    same: Vec<Lab>,
) -> One<'w> {
    let seen: Vec<Lab> = row.witnesses.iter().map(lab_of_witness).collect();
    let all = suspects(engine, candidate, &model);
    let all: Vec<_> = all.into_iter().filter(|(kind, _, usual)| shows(&model, &same, *kind, *usual)).collect();
    let tables: Vec<_> = all
        .iter()
        .map(|(kind, _, usual)| {
            let kind = *kind;
            // No oxide grows less than nothing.
            model.table(
                move |amount| kind.change(if kind == Kind::Oxide { amount.max(0.0) } else { amount }),
                REACH * usual,
            )
        })
        .collect();
    let functions: Vec<_> = tables.iter().map(|table| |amount: f64| table.at(amount)).collect();
    let list: Vec<Suspect<'_>> = all
        .iter()
        .zip(&functions)
        .map(|((_, ids, usual), shows)| Suspect { ids: *ids, usual: *usual, shows })
        .collect();
    let reading = Reading { seen: &seen, shift, scatter: model.scatter(), each: model.each() };
    let verdict = reading.weigh(&same, &list);
    let kinds = all.iter().map(|(kind, ..)| *kind).collect();
    let m = shift.mean;
    let foretold = same.iter().map(|lab| Lab { l: lab.l + m[0], a: lab.a + m[1], b: lab.b + m[2] }).collect();
    One { model, verdict, kinds, foretold }
}

fn lab_of_witness(witness: &library::Witness) -> Lab {
    Lab { l: witness.lab[0], a: witness.lab[1], b: witness.lab[2] }
}
