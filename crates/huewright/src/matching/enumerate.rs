//! Every way that a workshop allows: one step, or a nitride and then a thin film or heat.

use super::process::{anodise_laws, heat_law};
use super::step::{Step, existing_nm};
use crate::chamber::flow::FlowMap;
use crate::chamber::order::stray_nm;
use crate::engine::Engine;
use library::{Class, Coater, CoaterFilm, FilmSpec, FinishFile, MaterialRef, OxidationTable, WorkshopFile};
use routes::deposit::{Deposit, REPEATABILITY_COMPOSITION};

/// A way that may be tried, from a start.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Candidate {
    /// The part as it is.
    pub(crate) start: FinishFile,
    /// One or two steps.
    pub(crate) steps: Vec<Step>,
}

/// A way that is ruled out before any search.
#[derive(Debug, Clone)]
pub(crate) struct RuledOut {
    /// The part as it is.
    pub(crate) start: FinishFile,
    /// The route that was thought of; `None`: any.
    pub(crate) route: Option<&'static str>,
    /// The machine.
    pub(crate) machine: String,
    /// Why not, in plain words.
    pub(crate) why_not: String,
}

/// The library id of a material, if it is one.
pub(crate) fn id_of(material: &MaterialRef) -> Option<&str> {
    match material {
        MaterialRef::Library { id, .. } => Some(id),
        _ => None,
    }
}

/// All candidates and what is ruled out, start by start.
pub(crate) fn candidates(
    engine: &Engine,
    workshop: &WorkshopFile,
    starts: &[FinishFile],
) -> (Vec<Candidate>, Vec<RuledOut>) {
    let mut found = Vec::new();
    let mut out = Vec::new();
    // Once for all: to read a gas back takes time.
    let laid = laying(engine, workshop);
    for start in starts {
        if !start.over.is_empty() {
            let why = "a clear coat lies over it: no route reaches the metal or the films; take the coat off first";
            out.push(rule_out(start, None, "", why.to_owned()));
            continue;
        }
        let mut keep = |steps: Vec<Step>| found.push(Candidate { start: start.clone(), steps });
        anodising(engine, workshop, start, &mut keep, &mut out);
        heating(engine, workshop, start, &mut keep, &mut out);
        let melts = id_of(&start.base.material).and_then(|id| engine.library().entry(id).ok()?.melts_c);
        for first in &laid {
            let Step::Lay { film, coater, .. } = first else { continue };
            if let (Some(melts), Some(hot)) = (melts, coater.part_temperature_c)
                && hot >= melts
            {
                let why = format!("{} heats the part to {hot} C; this metal melts from {melts} C", coater.name);
                if !out.iter().any(|o| o.why_not == why && o.start == *start) {
                    out.push(rule_out(start, Some(first.route()), &coater.name, why));
                }
                continue;
            }
            if class(engine, &film.material) == Some(Class::Nitride) {
                second_steps(engine, workshop, start, first, &laid, &mut keep);
            }
            keep(vec![first.clone()]);
        }
    }
    (found, out)
}

fn class(engine: &Engine, id: &str) -> Option<Class> {
    engine.library().entry(id).ok().map(|e| e.class)
}

fn rule_out(start: &FinishFile, route: Option<&'static str>, machine: &str, why_not: String) -> RuledOut {
    RuledOut { start: start.clone(), route, machine: machine.to_owned(), why_not }
}

fn anodising(
    engine: &Engine,
    workshop: &WorkshopFile,
    start: &FinishFile,
    keep: &mut impl FnMut(Vec<Step>),
    out: &mut Vec<RuledOut>,
) {
    let base = id_of(&start.base.material).unwrap_or("an own material");
    for supply in &workshop.anodisers {
        let mut refuse = |why: String| out.push(rule_out(start, Some("anodise"), &supply.name, why));
        if supply.isolated == Some(false) {
            refuse(format!("{} is not isolated from the mains: refused. Use an isolated supply", supply.name));
            continue;
        }
        let Some(table) = engine.library().growth(base) else {
            refuse(format!("{base} grows no clear colour film in a bath that is known here"));
            continue;
        };
        if let Some(top) = start.films.last()
            && (start.films.len() > 1 || id_of(&top.material) != Some(&table.film))
        {
            let covered = crate::ribbon::material_word(&top.material);
            refuse(format!(
                "the metal is covered by {covered}: the bath cannot reach it; strip or polish it bare first"
            ));
            continue;
        }
        if workshop.baths.is_empty() {
            refuse("there is no bath in the workshop: add [[bath]]".to_owned());
            continue;
        }
        // Baths that obey the same law make the same colour: one way, several jars.
        let mut groups: Vec<Step> = Vec::new();
        for bath in &workshop.baths {
            let electrolyte = engine.library().electrolyte(&bath.electrolyte);
            if let Some(why) = electrolyte.and_then(|e| e.unfit.as_ref()) {
                refuse(format!("{} holds {}: {why}", bath.name, bath.electrolyte));
                continue;
            }
            let laws = anodise_laws(table, Some(&bath.electrolyte), bath.temperature_c);
            if laws.is_empty() {
                refuse(format!("no growth law of {base} fits {}: run coupons first", bath.name));
                continue;
            }
            let breakdown = electrolyte.and_then(|e| e.breakdown_v);
            let same = groups.iter_mut().find_map(|step| match step {
                Step::Anodise { laws: l, breakdown_v, also_in, .. } if *breakdown_v == breakdown && *l == laws => {
                    Some(also_in)
                }
                _ => None,
            });
            match same {
                Some(also_in) => also_in.push(bath.name.clone()),
                None => groups.push(Step::Anodise {
                    supply: supply.clone(),
                    bath: bath.clone(),
                    also_in: Vec::new(),
                    film: table.film.clone(),
                    laws,
                    breakdown_v: breakdown,
                }),
            }
        }
        for step in groups {
            keep(vec![step]);
        }
    }
}

/// What heat meets, and how it oxidises: the outermost film if it does, else the metal when it is bare or carries its own
/// oxide.
pub(crate) fn oxidised<'e>(engine: &'e Engine, finish: &FinishFile) -> Option<(String, &'e OxidationTable)> {
    let top = finish.films.last().and_then(|f| id_of(&f.material));
    let base = id_of(&finish.base.material);
    let lookup = |of: Option<&str>| of.and_then(|id| engine.library().oxidation(id).map(|t| (id.to_owned(), t)));
    let own_oxide = |id: Option<&str>| lookup(id).filter(|(_, t)| Some(t.film.as_str()) == top);
    match finish.films.len() {
        0 => lookup(base),
        1 => lookup(top).or_else(|| own_oxide(base)),
        count => lookup(top).or_else(|| own_oxide(id_of(&finish.films[count - 2].material))),
    }
}

fn heat_steps(engine: &Engine, workshop: &WorkshopFile, finish: &FinishFile) -> Vec<Result<Step, (String, String)>> {
    let top = finish.films.last().and_then(|f| id_of(&f.material));
    let base = id_of(&finish.base.material);
    let met = oxidised(engine, finish);
    workshop
        .ovens
        .iter()
        .map(|oven| {
            let what = top.or(base).unwrap_or("an own material");
            let refuse = |why: String| Err((oven.name.clone(), why));
            let Some((of, table)) = &met else {
                return refuse(format!("no rate of oxidation is known for {what} in air"));
            };
            let Some(law) = &table.law else {
                return refuse(format!("{of}: {}", table.note));
            };
            if oven.max_temperature_c < law.valid_c[0] {
                return refuse(format!(
                    "{} reaches {} C; the rate of {of} is known from {} to {} C",
                    oven.name, oven.max_temperature_c, law.valid_c[0], law.valid_c[1]
                ));
            }
            Ok(Step::Heat {
                heat: heat_law(table, law, oven.repeatability_c),
                oven: oven.clone(),
                of: of.clone(),
                table: (*table).clone(),
                law: law.clone(),
            })
        })
        .collect()
}

fn heating(
    engine: &Engine,
    workshop: &WorkshopFile,
    start: &FinishFile,
    keep: &mut impl FnMut(Vec<Step>),
    out: &mut Vec<RuledOut>,
) {
    for step in heat_steps(engine, workshop, start) {
        match step {
            Ok(step) => keep(vec![step]),
            Err((oven, why)) => out.push(rule_out(start, Some("heat"), &oven, why)),
        }
    }
}

pub(crate) fn lay(engine: &Engine, coater: &Coater, film: &CoaterFilm) -> Step {
    let entry = engine.library().entry(&film.material).ok();
    let family = entry.and_then(|e| e.family.as_ref());
    // A light that is not known was refused when the workshop was read.
    let flow = FlowMap::of(engine, coater, &film.material).ok().and_then(Result::ok).map(Box::new);
    let made = |made: [f64; 2]| flow.as_ref().map_or(made, |f| f.reach());
    let slider = if film.composition.is_none() { family.map(|f| made(f.made)) } else { None };
    Step::Lay {
        coater: coater.clone(),
        film: film.clone(),
        slider,
        range: family.map_or([0.0, 1.0], |f| f.range),
        // Where the flow tells the composition, the table without one is no setting.
        table_too: flow.is_none() && family.is_some_and(|f| entry.is_some_and(|e| e.default != f.source)),
        usual: film.composition.or_else(|| family.and_then(|f| f.default)),
        deposit: Deposit {
            repeatability: coater.repeatability,
            repeatability_nm: stray_nm(coater),
            repeatability_composition: coater.repeatability_composition.unwrap_or(REPEATABILITY_COMPOSITION),
            doubt_composition: flow.as_ref().map_or(0.0, |f| f.doubt()),
            rate_nm_per_min: coater.rate_nm_per_min,
        },
        gases: entry.map_or(&[], |e| e.class.gases()),
        grade: None,
        flow,
    }
}

fn laying(engine: &Engine, workshop: &WorkshopFile) -> Vec<Step> {
    workshop.coaters.iter().flat_map(|c| c.films.iter().map(move |f| lay(engine, c, f))).collect()
}

fn second_steps(
    engine: &Engine,
    workshop: &WorkshopFile,
    start: &FinishFile,
    first: &Step,
    laid: &[Step],
    keep: &mut impl FnMut(Vec<Step>),
) {
    let Step::Lay { film: nitride, .. } = first else { return };
    let melts = id_of(&start.base.material).and_then(|id| engine.library().entry(id).ok()?.melts_c);
    for second in laid {
        let Step::Lay { film, coater, .. } = second else { continue };
        if coater.part_temperature_c.zip(melts).is_some_and(|(hot, melts)| hot >= melts) {
            continue;
        }
        let thin = matches!(
            class(engine, &film.material),
            Some(Class::Nitride | Class::Oxynitride | Class::Oxide | Class::Clear)
        );
        if thin && film.material != nitride.material {
            keep(vec![first.clone(), second.clone()]);
        }
    }
    // The nitride as the oven will meet it.
    let mut coated = start.clone();
    coated.films.push(FilmSpec {
        material: MaterialRef::Library { id: nitride.material.clone(), source: None },
        thickness_nm: 0.0,
        thickness_sd_nm: 0.0,
        spread: 0.0,
        porosity: 0.0,
        composition: nitride.composition,
    });
    for second in heat_steps(engine, workshop, &coated).into_iter().flatten() {
        keep(vec![first.clone(), second]);
    }
}

/// Thickness of the film that `step` would add to.
pub(crate) fn existing_for(step: &Step, finish: &FinishFile) -> f64 {
    match step {
        Step::Lay { .. } => 0.0,
        _ => existing_nm(finish, step.film()),
    }
}
