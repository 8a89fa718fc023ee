//! A step in a coater: what is ordered, how it is made up, and what the chamber does to it.

use super::answer::{Set, StepPlan};
use super::coat_refused::{beyond, pick};
use super::trace::{Row, in_order, passed, trace};
use super::work::{Stop, Work, cannot};
use crate::chamber::ChamberJson;
use crate::chamber::flow::{FlowMap, NoMap};
use crate::chamber::grade::Grade;
use crate::chamber::instead::instead;
use crate::chamber::load::{Laid, Loaded};
use crate::chamber::order::{control, layer_nm, nearest, ordered_nm, turns};
use crate::chamber::{gas, layers, warmth};
use crate::matching::enumerate::{id_of, lay as lay_step};
use crate::matching::setting_words;
use crate::matching::step::{Chance, Setting, Step};
use library::{Circumstance, Coater, CoaterFilm, CoaterKind, FilmSpec, FinishFile, LaySpec, MaterialRef, ThroughAim};

pub(super) fn lay(work: &mut Work<'_>, number: usize, areas: &[usize], spec: &LaySpec) -> Result<StepPlan, Stop> {
    let route = if spec.kind == CoaterKind::Arc { "arc" } else { "sputter" };
    let film = spec.film.as_str();
    let (coater, laid) = pick(work, number, route, spec)?;
    let thickness_nm =
        ordered_nm(spec, coater).map_err(|(words, nearest)| cannot(number, "coater", words, Some(nearest)))?;
    let mut notes = Vec::new();
    if coater.load.is_some() && !coater.targets.is_empty() && Loaded::of(coater).is_none() {
        let words = format!("in straight flight nothing arrives at the front of a part in {}", coater.name);
        let nearest =
            "rotation = 1, or a target with bearing_deg that faces the parts (they hang at 0 degrees, facing out)";
        return Err(cannot(number, "coater", words, Some(nearest.to_owned())));
    }
    if coater.kind == CoaterKind::Arc {
        notes.push(
            "droplets of the arc lie on the film as specks and haze; they are not modelled, and neither is the filter that holds them back"
                .to_owned(),
        );
    }
    let made = composed(work, number, coater, laid, spec, &mut notes)?;
    if let Some(stop) = beyond(work, number, areas, coater, (spec, laid), (thickness_nm, made.composition))? {
        return Err(stop);
    }
    let part_c = spec.part_temperature_c.or(coater.part_temperature_c);
    let base = id_of(&work.areas[areas[0]].finish.base.material).map(ToOwned::to_owned);
    let tempered_c = tempered(work, base.as_deref());
    too_hot(work, number, base.as_deref(), part_c, tempered_c)?;
    let turned = turns(coater, thickness_nm);
    let held = control(coater, thickness_nm, turned.as_ref());
    let mut step = lay_step(work.engine, coater, &bound(laid));
    let setting = Setting { thickness_nm, composition: made.composition };
    let below = work.areas[areas[0]].finish.clone();
    let one = FilmSpec {
        material: MaterialRef::Library { id: film.to_owned(), source: None },
        thickness_nm,
        thickness_sd_nm: 0.0,
        spread: coater.spread,
        porosity: 0.0,
        composition: made.composition,
    };
    let graded = if made.stops.is_empty() {
        None
    } else {
        Some(Grade::sliced(work.engine, &work.eye, &below, &one, made.stops.clone())?)
    };
    if let Step::Lay { grade, deposit, .. } = &mut step {
        *grade = graded.as_ref().map(|g| g.0.clone());
        if thickness_nm > 0.0 {
            // What the shutter and the turns of this very step stray by.
            let own = held.repeatability * thickness_nm;
            deposit.repeatability_nm = (held.sd_nm * held.sd_nm - own * own).max(0.0).sqrt();
        }
    }
    let mut settings = step.settings(setting, 0.0);
    settings.retain(|(key, _)| *key != "part_temperature_c" && !(*key == "flow_sccm" && made.flow_sccm.is_some()));
    settings.extend(made.flow_sccm.map(|sccm| ("flow_sccm", sccm)));
    settings.extend(part_c.map(|c| ("part_temperature_c", c)));
    let class = work.engine.library().entry(film).ok().map(|e| e.class);
    let mut gases: Vec<&str> = class.map_or_else(Vec::new, |c| c.gases().to_vec());
    gases.extend(coater.gases.iter().filter(|g| g.film == film).map(|g| g.gas.word()));
    let more = Circumstance { materials: vec![film], settings: settings.clone(), gases, ..Circumstance::default() };
    let cautions = work.cautions(route, &below, more);
    let seconds = coater.rate_nm_per_min.map(|rate| 60.0 * thickness_nm / rate).or(spec.seconds);
    let chamber = ChamberJson {
        turns: turned,
        load: {
            let of = |share: f64| made_of(&below, &step, Setting { thickness_nm: share * thickness_nm, ..setting });
            let extent = work.part.map(|p| &p.extent);
            Laid {
                engine: work.engine,
                eye: &work.eye,
                coater,
                extent,
                finish: &of,
                thickness_nm,
                layer_nm: layer_nm(coater),
            }
            .told()
        },
        gas: gas::told(coater, film, made.map.as_ref(), made.flow_sccm, made.composition),
        layers: layers::layers(work.engine, &work.eye, &below, &one, graded.as_ref())?,
        temperature: warmth::warmth(work.engine, base.as_deref(), coater, part_c, tempered_c),
        control: held,
    };
    let names: Vec<String> = areas.iter().map(|i| work.areas[*i].name.clone()).collect();
    for i in areas {
        let area = &mut work.areas[*i];
        step.apply(&mut area.finish, setting, Chance::default());
        area.keep(number, &step, setting);
        area.along = None;
    }
    notes.extend(instead(work.engine, &work.eye, &work.areas[areas[0]].finish)?);
    // A film of one composition is a course like any other; a graded one is told slice by slice.
    let through = match (seconds, &graded) {
        (Some(seconds), None) => {
            let rows = [Row::default(), Row { time_s: seconds, thickness_nm, ..Row::default() }];
            let mut growing = below.clone();
            growing.films.push(one);
            Some(trace(work, &growing, &rows)?)
        }
        _ => None,
    };
    let passing = through.as_ref().map(passed).unwrap_or_default();
    let mut watch = vec!["Ask for the measured thickness of the coupon, and keep it with the record.".to_owned()];
    if passing.len() > 1 {
        watch.push(format!("While it grows it would be, in this order: {}.", in_order(&passing)));
    }
    Ok(StepPlan {
        number,
        kind: "route",
        route: route.to_owned(),
        title: format!("Lay {film} ({})", coater.name),
        todo: todo(work, coater, film, thickness_nm, &names, &chamber),
        areas: names,
        set: settings
            .into_iter()
            .map(|(key, value)| Set { key: key.to_owned(), value, words: setting_words(key, value), tightest: false })
            .collect(),
        watch,
        stop: None,
        seconds,
        cautions,
        notes,
        trace: through,
        passed: passing,
        lift: None,
        sizing: None,
        lasts: None,
        chamber: Some(chamber),
    })
}

/// The finish that a step makes of `below`.
fn made_of(below: &FinishFile, step: &Step, setting: Setting) -> Option<FinishFile> {
    let mut finish = below.clone();
    step.apply(&mut finish, setting, Chance::default()).then_some(finish)
}

fn bound(laid: &CoaterFilm) -> CoaterFilm {
    CoaterFilm { material: laid.material.clone(), composition: laid.composition }
}

/// What the film is made of.
#[derive(Default)]
struct Made {
    composition: Option<f64>,
    flow_sccm: Option<f64>,
    /// Through the film, as shares of its thickness; empty: the same throughout.
    stops: Vec<(f64, f64)>,
    map: Option<FlowMap>,
}

fn composed(
    work: &Work<'_>,
    number: usize,
    coater: &Coater,
    laid: &CoaterFilm,
    spec: &LaySpec,
    notes: &mut Vec<String>,
) -> Result<Made, Stop> {
    let map = FlowMap::of(work.engine, coater, &spec.film)?;
    let governed = |flow: f64| -> Result<f64, Stop> {
        let refuse = |words: String, nearest: Option<String>| cannot(number, "gas", words, nearest);
        match &map {
            Ok(map) => map.composition(flow).map(|c| c.0).ok_or_else(|| {
                let [low, high] = map.range_sccm;
                let words = format!(
                    "{flow} sccm of {}: the shop's colours lie between {low} and {high} sccm, and a response is not carried beyond",
                    map.gas
                );
                refuse(words, Some(format!("flow_sccm = {}", flow.clamp(low, high))))
            }),
            Err(NoMap::Unsure(words)) => Err(refuse(words.clone(), Some("composition = 0.5".to_owned()))),
            Err(NoMap::NoReading) => Err(refuse(
                format!(
                    "flow_sccm = {flow}: {} tells no composition of {} by its flow",
                    coater.name, spec.film
                ),
                Some("composition = 0.5, or [[coater.gas]] with three [[coater.gas.colour]] at known flows".to_owned()),
            )),
        }
    };
    let stops = spec
        .through
        .iter()
        .map(|stop| {
            let composition = match stop.aim {
                ThroughAim::Composition(c) => c,
                ThroughAim::FlowSccm(flow) => governed(flow)?,
            };
            Ok((0.01 * stop.at, composition))
        })
        .collect::<Result<Vec<_>, Stop>>()?;
    let asked = match spec.flow_sccm {
        Some(flow) => Some(governed(flow)?),
        None => spec.composition,
    };
    if let (Some(pinned), Some(asked)) = (laid.composition, asked)
        && (pinned - asked).abs() > 1e-9
    {
        let words = format!("{} lays {} with composition {pinned} only; asked is {asked}", coater.name, spec.film);
        return Err(cannot(number, "coater", words, Some(format!("composition = {pinned}"))));
    }
    if let Some(pinned) = laid.composition.filter(|_| !stops.is_empty()) {
        let words =
            format!("{} lays {} with composition {pinned} only; [[step.through]] changes it", coater.name, spec.film);
        return Err(cannot(number, "coater", words, Some(format!("composition = {pinned}, without [[step.through]]"))));
    }
    let map = map.ok();
    let composition = laid.composition.or(asked);
    let flow_sccm = spec.flow_sccm.or_else(|| map.as_ref().zip(composition).and_then(|(m, c)| m.flow(c)));
    if let (Some(map), Some(c), None) = (&map, composition, flow_sccm) {
        let [low, high] = map.reach();
        notes.push(format!(
            "composition {c:.2} lies outside what the shop's flows of {} are known to give, {low:.2} to {high:.2}: run coupons first",
            map.gas
        ));
    }
    if !spec.through.is_empty() && spec.film == "titanium-oxynitride" {
        notes.push("oxygen bled in makes the target and the pump work harder: bleed slowly, and watch the cathode volts for the jump".to_owned());
    }
    Ok(Made { composition, flow_sccm, stops, map })
}

/// The last heat treatment of the part, or of the workshop's metal.
fn tempered(work: &Work<'_>, base: Option<&str>) -> Option<f64> {
    let of_shop = || {
        let metals = &work.bench.workshop?.metals;
        metals.iter().find(|m| Some(m.id.as_str()) == base)?.tempered_c
    };
    work.part.and_then(|p| p.tempered_c).or_else(of_shop)
}

fn too_hot(
    work: &Work<'_>,
    number: usize,
    base: Option<&str>,
    part_c: Option<f64>,
    tempered_c: Option<f64>,
) -> Result<(), Stop> {
    let (Some(hot), Some(base)) = (part_c, base) else { return Ok(()) };
    let melts = work.engine.library().entry(base).ok().and_then(|e| e.melts_c);
    if let Some(melts) = melts.filter(|melts| hot >= *melts) {
        let words = format!("the part gets {hot} C hot; this metal melts from {melts} C");
        return Err(cannot(number, "metal", words, Some("a cooler cycle, or another route".to_owned())));
    }
    match warmth::forbidden(base, hot, tempered_c) {
        Some((words, nearest)) => Err(cannot(number, "metal", words, Some(nearest))),
        None => Ok(()),
    }
}

fn todo(
    work: &Work<'_>,
    coater: &Coater,
    film: &str,
    thickness_nm: f64,
    names: &[String],
    chamber: &ChamberJson,
) -> Vec<String> {
    let mut list = vec![
        format!(
            "Order from {}: {thickness_nm:.1} nm of {film} on the parts, with a coupon of the same metal and surface beside them.",
            coater.name
        ),
        "Parts go in clean, dry and without fingerprints, in gloves; say where they may be held.".to_owned(),
    ];
    if names.len() < work.areas.len() {
        list.push(format!("Only {} is coated: mask the rest.", names.join(" and ")));
    }
    if let Some(whole) = chamber.turns.as_ref().filter(|t| t.helps).and_then(|t| nearest(&t.whole, thickness_nm)) {
        list.push(format!(
            "Better: {:.0} whole turns of the table, {:.1} s, {:.1} nm: parts then come more alike.",
            whole.turns, whole.seconds, whole.thickness_nm
        ));
    }
    if let Some(load) = chamber.load.as_ref().filter(|l| l.positions.len() > 1) {
        let places: Vec<&str> = load.positions.iter().map(|p| p.name.as_str()).collect();
        list.push(format!("Witness coupons at: {}.", places.join(", ")));
    }
    list
}
