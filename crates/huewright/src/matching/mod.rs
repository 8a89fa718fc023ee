//! Which of my routes give this colour, with which settings, how sure?
//!
//! Every route and setting that the workshop allows is searched, every order; each way carries the disagreement of
//! published constants and the machine's own scatter into its chance; ways are ranked by the chance to land and to land
//! twice alike; what cannot be done is listed with the reason.

mod angle;
mod answer;
mod beside;
pub(crate) mod best;
pub(crate) mod enumerate;
pub(crate) mod flat;
mod machines;
pub(crate) mod odds;
mod preparing;
pub(crate) mod process;
pub(crate) mod reasons;
mod recipe;
pub(crate) mod space;
pub(crate) mod step;
mod windows;
mod words;

pub use angle::Angle;
pub use answer::{Also, CautionJson, Drift, Match, OtherOrder, TargetJson, Way};
pub use odds::SAMPLES;
pub use preparing::Advised;
pub use recipe::recipe_toml;
pub use windows::Window;
pub use words::{odds_words, setting_words, settings_words, span_words, steps_words};

use crate::chamber::instead::instead;
use crate::cores::each;
use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::{finish_json, lab_array};
use crate::plan::choices;
use crate::provenance::Source;
use crate::ribbon::{growth_source, oxidation_source};
use crate::target::Target;
pub(crate) use beside::chance_beside;
use best::{Best, Reach, best, bests};
use colour::ciede2000;
use enumerate::{Candidate, candidates, existing_for, id_of};
use flat::lab_of;
use library::{BaseSpec, FinishFile, MediumAbove, WorkshopFile};
use machines::machine_tables;
use optics::Geometry;
use serde_json::Value;
use step::{Setting, Step};

/// A way is feasible when some allowed setting comes within this nominal difference (product.md).
pub const FEASIBLE_DELTA_E: f64 = 5.0;
/// A run lands when it comes within this difference: recognisably the wanted colour.
pub const LAND_DELTA_E: f64 = 5.0;
/// Two runs are alike, and a window holds, within this difference: side by side a careful eye begins to tell.
pub const ALIKE_DELTA_E: f64 = 2.0;
/// What the chances of ways count.
const PAIR: odds::Limits = odds::Limits { land: LAND_DELTA_E, pair: ALIKE_DELTA_E, pieces: 2 };
/// Tilts at which drift is told, degrees.
pub const DRIFT_TILTS_DEG: [f64; 2] = [30.0, 60.0];

/// What is asked.
#[derive(Debug, Clone)]
pub struct MatchRequest<'r> {
    /// The wanted colour.
    pub target: Target,
    /// What the person owns.
    pub workshop: &'r WorkshopFile,
    /// The part as it is, in place of the workshop's metals.
    pub from: Option<&'r FinishFile>,
}

/// Shares of runs below this are not told.
pub const TOLD_SHARE: f64 = 0.05;

/// Finds the ways to a colour. `progress` is told how many of how many ways are done.
///
/// # Errors
/// [`Fault`] for unknown materials, lights and observers, and a tilt or roughness out of range.
pub fn match_colour(
    engine: &Engine,
    request: &MatchRequest<'_>,
    conditions: &Conditions,
    mut progress: impl FnMut(usize, usize),
) -> Result<Match, Fault> {
    if conditions.geometry != Geometry::Included {
        return Err(Fault::Geometry);
    }
    let eye = Eye::new(engine, conditions)?;
    let target = &request.target;
    let starts = starts(request.workshop, request.from);
    for start in &starts {
        // A surface that the optics refuses is reported once, before any search.
        let built = engine.build(start)?;
        eye.see(&built, built.values())?;
    }
    let (candidates, ruled_out) = candidates(engine, request.workshop, &starts);
    let mut ways = all_ways(engine, &candidates, target, conditions, &mut progress)?;
    ways.extend(ruled_out.iter().map(reasons::ruled_out));
    rank(&mut ways);
    let mut notes = target.notes.clone();
    notes.extend(reasons::without_scatter(request.workshop));
    if ways.is_empty() {
        notes.push(
            "the workshop has nothing that colours metal: add [[anodiser]] with [[bath]], [[oven]] or [[coater]]"
                .to_owned(),
        );
    } else if ways.iter().all(|w| !w.feasible) {
        notes.push("no way of this workshop reaches the colour; the reasons stand beside each".to_owned());
    }
    if !request.workshop.baths.is_empty() && request.workshop.anodisers.is_empty() {
        notes.push("there is a bath but no supply: add [[anodiser]]".to_owned());
    }
    let options = match request.from {
        Some(from) => choices(engine, &eye, request.workshop, from, target.lab)?,
        None => Vec::new(),
    };
    let licensed = request.workshop.licensed_hydrofluoric;
    for (way, first) in ways.iter_mut().filter_map(|w| w.first.take().map(|first| (w, first))) {
        if let Some(start) = &way.made_from {
            way.preparation = preparing::advised(engine.library(), start, &first, licensed);
        }
    }
    let mut found = Match {
        schema: 1,
        target: TargetJson {
            lab: lab_array(target.lab),
            given: target.given.clone(),
            shown: engine.swatch_of(target.lab, target.white),
        },
        ways,
        options,
        notes,
    };
    for i in 0..found.ways.len() {
        found.ways[i].recipe = recipe_toml(&found, &found.ways[i]);
    }
    Ok(found)
}

/// Every candidate worked out.
fn all_ways(
    engine: &Engine,
    candidates: &[Candidate],
    target: &Target,
    conditions: &Conditions,
    progress: &mut impl FnMut(usize, usize),
) -> Result<Vec<Way>, Fault> {
    let work = |eye: &Eye<'_>, number: usize| ways_of(engine, eye, &candidates[number], target, conditions);
    let ways = each(candidates.len(), progress, || Eye::new(engine, conditions), work)?;
    Ok(ways.into_iter().flatten().collect())
}

/// The parts that ways start from: the one given, or each metal of the workshop.
pub(crate) fn starts(workshop: &WorkshopFile, from: Option<&FinishFile>) -> Vec<FinishFile> {
    if let Some(from) = from {
        return vec![from.clone()];
    }
    workshop
        .metals
        .iter()
        .map(|metal| FinishFile {
            name: None,
            medium: MediumAbove::Air,
            base: BaseSpec { material: metal.material(), texture: metal.texture.clone() },
            films: metal.films.clone(),
            over: Vec::new(),
        })
        .collect()
}

fn rank(ways: &mut [Way]) {
    let odds = |w: &Way| (w.chance.unwrap_or(0.0), w.chance_alike.unwrap_or(0.0));
    // Of what cannot be done, the shorter way is what a person thinks of first.
    let length = |w: &Way| if w.feasible { 0 } else { w.steps.len() };
    ways.sort_by(|a, b| {
        b.feasible
            .cmp(&a.feasible)
            .then(length(a).cmp(&length(b)))
            .then(odds(b).0.total_cmp(&odds(a).0))
            .then(odds(b).1.total_cmp(&odds(a).1))
            .then(a.expected_delta_e.unwrap_or(f64::MAX).total_cmp(&b.expected_delta_e.unwrap_or(f64::MAX)))
            .then(a.delta_e.unwrap_or(f64::MAX).total_cmp(&b.delta_e.unwrap_or(f64::MAX)))
    });
}

/// The ways of one candidate: the nearest settings, and those of other orders that are feasible too; or why not.
fn ways_of(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    target: &Target,
    conditions: &Conditions,
) -> Result<Vec<Way>, Fault> {
    let allowed = bests(engine, eye, candidate, target.lab, Reach::Allowed)?;
    if allowed.first().is_some_and(|b| b.delta_e <= FEASIBLE_DELTA_E) {
        let mut feasible = allowed.into_iter().filter(|b| b.delta_e <= FEASIBLE_DELTA_E);
        let Some(nearest) = feasible.next() else { return Ok(Vec::new()) };
        let mut way = feasible_way(engine, eye, candidate, nearest, target, conditions)?;
        for other in feasible {
            let odds = odds::odds(engine, eye, candidate, &other, target.lab, PAIR);
            let described = described(engine, eye, candidate, Some(other), Vec::new());
            way.other_orders.push(OtherOrder {
                steps: described.steps,
                set: described.set,
                lab: described.lab,
                delta_e: described.delta_e,
                chance: odds.chance,
                chance_alike: odds.chance_alike,
            });
        }
        return Ok(vec![way]);
    }
    let nearest = allowed.into_iter().next();
    let wished = best(engine, eye, candidate, target.lab, Reach::Wished)?;
    let mut why_not = reasons::why_not(engine, candidate, nearest.as_ref(), wished.as_ref());
    if let Some(bare) = reasons::stripped(candidate) {
        // Would the bath do it, were the film not there?
        if let Some(found) = best(engine, eye, &bare, target.lab, Reach::Allowed)?
            && found.delta_e <= FEASIBLE_DELTA_E
        {
            why_not.insert(0, reasons::already_there(candidate, &found));
        }
    }
    Ok(vec![described(engine, eye, candidate, nearest.or(wished), why_not)])
}

fn feasible_way(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    found: Best,
    target: &Target,
    conditions: &Conditions,
) -> Result<Way, Fault> {
    let odds = odds::odds(engine, eye, candidate, &found, target.lab, PAIR);
    let limit = ALIKE_DELTA_E.max(found.delta_e + 1.0);
    let windows = windows::windows(engine, eye, candidate, &found, target.lab, limit);
    let drift = drift(engine, &found, conditions)?;
    let angle = angle::angle(engine, &found, conditions)?;
    let mut way = described(engine, eye, candidate, Some(found), Vec::new());
    way.feasible = true;
    way.expected_delta_e = Some(odds.expected_delta_e);
    way.chance = Some(odds.chance);
    way.chance_alike = Some(odds.chance_alike);
    way.chance_match = Some(odds.chance_match);
    let wanted = engine.names().name(target.lab);
    way.chance_of_name = Some(odds.names.iter().find(|(name, _)| name == wanted).map_or(0.0, |(_, share)| *share));
    way.windows = windows;
    way.drift = drift;
    way.angle = Some(angle);
    way.may_also_be = odds
        .names
        .into_iter()
        .filter(|(name, share)| *share >= TOLD_SHARE && Some(name) != way.name.as_ref())
        .map(|(name, share)| Also { name, share })
        .collect();
    Ok(way)
}

/// The steps of a candidate at `settings` as JSON, and the cautions for them; without settings, the bare steps.
pub(crate) fn told_steps(
    engine: &Engine,
    candidate: &Candidate,
    settings: Option<&[Setting]>,
) -> (Vec<Value>, Vec<CautionJson>) {
    let existing = |i: usize, step: &Step| if i == 0 { existing_for(step, &candidate.start) } else { 0.0 };
    let (mut steps, mut cautions) = (Vec::new(), Vec::new());
    let start = &candidate.start;
    let met = std::iter::once(&start.base.material).chain(start.films.iter().map(|f| &f.material));
    let mut materials: Vec<&str> = met.clone().filter_map(id_of).collect();
    let unknown_material = materials.len() < met.count();
    for (i, step) in candidate.steps.iter().enumerate() {
        let setting = settings.map(|s| s[i]);
        // The next step meets what this one makes.
        materials.push(step.film());
        if let Some(setting) = setting {
            let mut json = step.json(setting, existing(i, step));
            if let Ok(entry) = engine.library().entry(step.film()) {
                json["film_words"] = serde_json::json!(entry.words);
            }
            steps.push(json);
            let circumstance = step.circumstance(&materials, unknown_material, setting, existing(i, step));
            for caution in engine.library().cautions() {
                if caution.applies(&circumstance) && !cautions.contains(&CautionJson::from(caution)) {
                    cautions.push(CautionJson::from(caution));
                }
            }
        } else {
            steps.push(serde_json::json!({
                "route": step.route(), "machine": step.machine(), "film": step.film(), "settings": {}
            }));
        }
    }
    (steps, cautions)
}

/// A way with its steps and what they make, before its chances are known.
fn described(engine: &Engine, eye: &Eye<'_>, candidate: &Candidate, found: Option<Best>, why_not: Vec<String>) -> Way {
    let (steps, cautions) = told_steps(engine, candidate, found.as_ref().map(|b| b.settings.as_slice()));
    let swatch = found.as_ref().map(|b| engine.swatch_of(b.lab, eye.viewing().white()));
    let start_json = finish_json(&candidate.start);
    let [title, set] = steps_words(&start_json, &steps);
    Way {
        why_not,
        title,
        set,
        start: start_json,
        steps,
        finish: found.as_ref().map_or(Value::Null, |b| finish_json(&b.finish)),
        lab: found.as_ref().map(|b| lab_array(b.lab)),
        srgb: swatch.as_ref().map(|s| s.srgb.clone()),
        srgb_out_of_gamut: swatch.as_ref().is_some_and(|s| s.srgb_out_of_gamut),
        display_p3: swatch.as_ref().map(|s| s.display_p3),
        display_p3_out_of_gamut: swatch.as_ref().is_some_and(|s| s.display_p3_out_of_gamut),
        name: swatch.map(|s| s.name),
        delta_e: found.as_ref().map(|b| b.delta_e),
        notes: candidate
            .steps
            .iter()
            .flat_map(reasons::rests_on)
            .chain(found.as_ref().and_then(|b| instead(engine, eye, &b.finish).ok().flatten()))
            .collect(),
        stand_ins: found.as_ref().map_or_else(Vec::new, |b| engine.stand_ins(&b.finish)),
        cautions,
        machines: machine_tables(&candidate.steps),
        first: candidate.steps.first().cloned(),
        made: found.map(|b| b.finish),
        made_from: Some(candidate.start.clone()),
        ..Way::default()
    }
}

fn drift(engine: &Engine, found: &Best, conditions: &Conditions) -> Result<Vec<Drift>, Fault> {
    let straight = Eye::new(engine, &Conditions { tilt_deg: 0.0, ..conditions.clone() })?;
    let Some(from) = lab_of(engine, &straight, &found.finish) else { return Ok(Vec::new()) };
    DRIFT_TILTS_DEG
        .iter()
        .map(|tilt| {
            let eye = Eye::new(engine, &Conditions { tilt_deg: *tilt, ..conditions.clone() })?;
            let built = engine.build(&found.finish)?;
            let seen = eye.see(&built, built.values())?;
            Ok(Drift {
                tilt_deg: *tilt,
                lab: lab_array(seen.lab),
                shown: engine.swatch(seen.xyz, seen.white, seen.lab),
                delta_e: ciede2000(from, seen.lab),
            })
        })
        .collect()
}

/// What the ways rest on: materials with every rival table, growth and oxidation laws, light and observer.
pub fn why(engine: &Engine, request: &MatchRequest<'_>, conditions: &Conditions) -> Vec<Source> {
    let (candidates, _) = candidates(engine, request.workshop, &starts(request.workshop, request.from));
    why_any(engine, &candidates, conditions)
}

/// What any of these candidates rests on.
pub(crate) fn why_any(engine: &Engine, candidates: &[Candidate], conditions: &Conditions) -> Vec<Source> {
    let mut ids: Vec<String> = Vec::new();
    let mut laws: Vec<Source> = Vec::new();
    for candidate in candidates {
        let base = id_of(&candidate.start.base.material);
        ids.extend(base.map(ToOwned::to_owned));
        ids.extend(candidate.start.films.iter().filter_map(|f| id_of(&f.material)).map(ToOwned::to_owned));
        for step in &candidate.steps {
            ids.push(step.film().to_owned());
            match step {
                Step::Anodise { laws: l, .. } => {
                    laws.extend(l.iter().map(|(law, _)| growth_source(base.unwrap_or("the metal"), law)));
                }
                Step::Heat { of, table, .. } => laws.push(oxidation_source(of, table)),
                Step::Lay { .. } => {}
            }
        }
    }
    ids.sort_unstable();
    ids.dedup();
    let named = candidates
        .iter()
        .flat_map(|c| std::iter::once(&c.start.base.material).chain(c.start.films.iter().map(|f| &f.material)));
    let pinned = named.filter_map(|m| engine.head_of(m, None));
    let families = ids.iter().filter_map(|id| {
        let family = engine.library().entry(id).ok()?.family.as_ref()?;
        engine.library().head(id, &family.source).ok()
    });
    let rivals = ids.iter().flat_map(|id| engine.library().rivals(id));
    let mut list: Vec<Source> = Vec::new();
    for head in rivals.chain(pinned).chain(families) {
        let source = engine.source_of_head(head);
        if !list.contains(&source) {
            list.push(source);
        }
    }
    for extra in laws.into_iter().chain(engine.doubt_sources()) {
        if !list.contains(&extra) {
            list.push(extra);
        }
    }
    list.extend(engine.viewing_sources(conditions));
    list
}
