//! How a setting becomes a thickness: by itself, by a growth law, or by heat.

use super::{Axis, RibbonError, RibbonRequest, material_word};
use crate::engine::Engine;
use crate::error::Fault;
use crate::matching::process::{anodise_laws, heat_law};
use crate::provenance::Source;
use library::{FilmSpec, FinishFile, MaterialRef};
use quantities::limit;
use routes::Draw;

/// How a setting becomes a thickness of which film in which finish.
pub(super) struct Track {
    pub(super) finish: FinishFile,
    pub(super) film: usize,
    pub(super) thickness_nm: Box<dyn Fn(f64) -> f64>,
    pub(super) setting: &'static str,
    pub(super) unit: &'static str,
    pub(super) title: String,
    pub(super) notes: Vec<String>,
    pub(super) sources: Vec<Source>,
}

pub(super) fn track(engine: &Engine, request: &RibbonRequest) -> Result<Track, Fault> {
    match &request.axis {
        Axis::Thickness { film } => thickness_track(request, *film),
        Axis::Volts { electrolyte } => volts_track(engine, request, electrolyte.as_deref()),
        Axis::Degrees { minutes } => heat_track(engine, request, Some(*minutes), None),
        Axis::Minutes { temperature_c } => heat_track(engine, request, None, Some(*temperature_c)),
    }
}

fn thickness_track(request: &RibbonRequest, film: usize) -> Result<Track, Fault> {
    let count = request.finish.films.len();
    if film >= count {
        return Err(RibbonError::NoFilm { given: film.saturating_add(1), count }.into());
    }
    let allowed = limit("thickness_nm");
    for given in [request.from, request.to] {
        if !(allowed.min..=allowed.max).contains(&given) {
            return Err(RibbonError::OutsideThickness { low: allowed.min, high: allowed.max, given }.into());
        }
    }
    let what = material_word(&request.finish.films[film].material);
    let below = if film == 0 {
        material_word(&request.finish.base.material)
    } else {
        material_word(&request.finish.films[film - 1].material)
    };
    Ok(Track {
        finish: request.finish.clone(),
        film,
        thickness_nm: Box::new(|nm| nm),
        setting: "thickness_nm",
        unit: "nm",
        title: format!("{what} on {below}, by thickness"),
        notes: Vec::new(),
        sources: Vec::new(),
    })
}

pub(super) fn metal_of(finish: &FinishFile) -> Result<&str, Fault> {
    match &finish.base.material {
        MaterialRef::Library { id, .. } => Ok(id),
        _ => Err(RibbonError::OwnBase.into()),
    }
}

/// What is there already: a bath or an oven adds to it and never thins it.
fn existing_nm(finish: &FinishFile) -> f64 {
    finish.films.last().map_or(0.0, |f| f.thickness_nm)
}

/// The finish with the film that grows: its own if it is there already, with its source, spread and porosity.
fn grown(finish: &FinishFile, film: &str) -> Result<FinishFile, Fault> {
    if let Some(coat) = finish.over.first() {
        return Err(RibbonError::Covered { covered: material_word(&coat.material), film: film.to_owned() }.into());
    }
    if let Some(top) = finish.films.last() {
        let own = matches!(&top.material, MaterialRef::Library { id, .. } if id == film);
        if !own || finish.films.len() > 1 {
            let covered = finish.films.iter().map(|f| material_word(&f.material)).collect::<Vec<_>>().join(", ");
            return Err(RibbonError::Covered { covered, film: film.to_owned() }.into());
        }
        return Ok(finish.clone());
    }
    let film = FilmSpec {
        material: MaterialRef::Library { id: film.to_owned(), source: None },
        thickness_nm: 0.0,
        thickness_sd_nm: 0.0,
        spread: 0.0,
        porosity: 0.0,
        composition: None,
    };
    Ok(FinishFile { films: vec![film], ..finish.clone() })
}

fn volts_track(engine: &Engine, request: &RibbonRequest, electrolyte: Option<&str>) -> Result<Track, Fault> {
    let metal = metal_of(&request.finish)?;
    let Some(table) = engine.library().growth(metal) else {
        let known: Vec<String> = engine.library().growths().iter().flat_map(|g| g.metals.clone()).collect();
        return Err(RibbonError::NotAnodised { metal: metal.to_owned(), known: known.join(", ") }.into());
    };
    if let Some(given) = electrolyte {
        let known = || engine.library().electrolytes().iter().map(|e| e.id.clone()).collect::<Vec<_>>().join(", ");
        if engine.library().electrolyte(given).is_none() {
            return Err(Fault::Unknown { what: "electrolyte", given: given.to_owned(), known: known() });
        }
    }
    let laws = anodise_laws(table, electrolyte, table.field.at_c);
    let Some((law, anodise)) = laws.first().cloned() else {
        let known: Vec<String> = engine.library().growths().iter().flat_map(|g| g.metals.clone()).collect();
        return Err(RibbonError::NotAnodised { metal: metal.to_owned(), known: known.join(", ") }.into());
    };
    for given in [request.from, request.to] {
        let [low, high] = law.valid_v;
        if given < low || given > high {
            let what = format!("{metal} ({})", law.name);
            return Err(RibbonError::OutsideLaw { what, low, high, unit: "V", given }.into());
        }
    }
    let existing = existing_nm(&request.finish);
    let mut notes = vec![format!(
        "thickness = {} nm + {} nm/V x volts, +- {} nm/V: {}",
        law.offset_nm, law.ratio_nm_per_v, law.ratio_sd_nm_per_v, law.status
    )];
    for (other, _) in laws.iter().skip(1) {
        notes.push(format!(
            "another source has {} nm/V ({}): the same colour would come at {:.0} % of the voltage",
            other.ratio_nm_per_v,
            other.status,
            100.0 * law.ratio_nm_per_v / other.ratio_nm_per_v
        ));
    }
    Ok(Track {
        finish: grown(&request.finish, &table.film)?,
        film: 0,
        thickness_nm: Box::new(move |volts| anodise.grow(volts, existing, Draw::default()).thickness_nm),
        setting: "voltage_v",
        unit: "V",
        title: format!("{metal}, anodised, by voltage"),
        notes,
        sources: laws.iter().map(|(law, _)| growth_source(metal, law)).collect(),
    })
}

pub(crate) fn growth_source(metal: &str, law: &library::GrowthLaw) -> Source {
    Source {
        what: format!("growth of {metal}"),
        which: law.name.clone(),
        citation: law.source.clone(),
        status: format!(
            "{} nm at 0 V +- {}, {} nm/V +- {}; {}",
            law.offset_nm, law.offset_sd_nm, law.ratio_nm_per_v, law.ratio_sd_nm_per_v, law.status
        ),
        caveats: Vec::new(),
    }
}

pub(crate) fn oxidation_source(of: &str, table: &library::OxidationTable) -> Source {
    Source {
        what: format!("oxidation of {of}"),
        which: table.film.clone(),
        citation: table.source.clone(),
        status: table.law.as_ref().map_or_else(
            || "no rate: run one coupon first".to_owned(),
            |l| {
                format!(
                    "parabolic, {} kJ/mol, {:.4e} nm2/s; thickness within a factor of {}; {}",
                    l.activation_kj_per_mol, l.k0_nm2_per_s, l.factor, l.status
                )
            },
        ),
        caveats: vec![table.note.clone()],
    }
}

fn heat_track(
    engine: &Engine,
    request: &RibbonRequest,
    minutes: Option<f64>,
    temperature_c: Option<f64>,
) -> Result<Track, Fault> {
    let metal = metal_of(&request.finish)?;
    let no_rate = |note: &str| RibbonError::NoRate { material: metal.to_owned(), note: note.to_owned() };
    let Some(table) = engine.library().oxidation(metal) else {
        return Err(no_rate("nothing was found in the literature that could be read").into());
    };
    let Some(law) = &table.law else { return Err(no_rate(&table.note).into()) };
    let within = |given: f64, [low, high]: [f64; 2], unit: &'static str| {
        if given < low || given > high {
            let what = format!("heating {metal}");
            return Err(Fault::from(RibbonError::OutsideLaw { what, low, high, unit, given }));
        }
        Ok(())
    };
    let heat = heat_law(table, law, 0.0);
    let existing = existing_nm(&request.finish);
    let ends = [request.from, request.to];
    let (track_by, setting, unit): (Box<dyn Fn(f64) -> f64>, _, _) = match (minutes, temperature_c) {
        (Some(minutes), _) => {
            within(minutes, law.valid_minutes, "min")?;
            for t in ends {
                within(t, law.valid_c, "C")?;
            }
            let by = move |t: f64| heat.grow(t, minutes, existing, Draw::default()).thickness_nm;
            (Box::new(by), "temperature_c", "C")
        }
        (None, temperature) => {
            let t = temperature.unwrap_or(law.valid_c[0]);
            within(t, law.valid_c, "C")?;
            for m in ends {
                // A ribbon by time may begin at nothing.
                within(m, [0.0, law.valid_minutes[1]], "min")?;
            }
            let by = move |m: f64| heat.grow(t, m, existing, Draw::default()).thickness_nm;
            (Box::new(by), "minutes", "min")
        }
    };
    Ok(Track {
        finish: grown(&request.finish, &table.film)?,
        film: 0,
        thickness_nm: track_by,
        setting,
        unit,
        title: format!("{metal}, tinted with heat in air"),
        notes: vec![
            format!("thickness is known within a factor of {}: {}; run a coupon", law.factor, law.status),
            table.note.clone(),
        ],
        sources: vec![oxidation_source(metal, table)],
    })
}
