//! How does the colour move as I turn the setting?

use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::lab_array;
use crate::matching::process::{anodise_laws, heat_law};
use crate::provenance::Source;
use library::{BaseSpec, FilmSpec, FinishFile, MaterialRef, MediumAbove, TextureSpec};
use routes::Draw;
use serde::Serialize;

/// What is turned.
#[derive(Debug, Clone, PartialEq)]
pub enum Axis {
    /// The thickness of one film (number from the base, 0-based), nm.
    Thickness {
        /// Which film.
        film: usize,
    },
    /// The voltage of a bath, V.
    Volts {
        /// Electrolyte, if known: some have a law of their own.
        electrolyte: Option<String>,
    },
    /// The temperature of a heating of fixed length, C.
    Degrees {
        /// Length, minutes.
        minutes: f64,
    },
    /// The length of a heating at a fixed temperature, minutes.
    Minutes {
        /// Temperature, C.
        temperature_c: f64,
    },
}

/// What a ribbon is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct RibbonRequest {
    /// The finish that is changed. On the axes of volts, degrees and minutes its films are replaced by the grown one.
    pub finish: FinishFile,
    /// What is turned.
    pub axis: Axis,
    /// First value, in the axis' unit.
    pub from: f64,
    /// Last value.
    pub to: f64,
    /// How many colours, 2 to 5,000.
    pub points: usize,
    /// Tilts, degrees: a row each.
    pub tilts_deg: Vec<f64>,
}

/// Why a ribbon cannot be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RibbonError {
    /// No such film.
    #[error("film {given} does not exist: the finish has {count} films, numbered from 1 at the base")]
    NoFilm {
        /// What was asked, 1-based.
        given: usize,
        /// How many there are.
        count: usize,
    },
    /// The metal grows no film in a bath.
    #[error("'{metal}' grows no colour film in a bath; known for: {known}")]
    NotAnodised {
        /// The metal.
        metal: String,
        /// Metals that do.
        known: String,
    },
    /// No rate for heat.
    #[error("no rate of oxidation is known for '{material}': {note}")]
    NoRate {
        /// The metal or film.
        material: String,
        /// Why.
        note: String,
    },
    /// The span leaves the law.
    #[error("the law for {what} holds from {low} to {high} {unit}; {given} {unit} was asked. Outside it run a coupon")]
    OutsideLaw {
        /// What grows.
        what: String,
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
        /// Unit.
        unit: &'static str,
        /// What was asked.
        given: f64,
    },
    /// From not below to, or too few or many points.
    #[error("a ribbon runs from a lower to a higher value in 2 to 5000 colours; {from} to {to} in {points} was asked")]
    BadSpan {
        /// First.
        from: f64,
        /// Last.
        to: f64,
        /// Count.
        points: usize,
    },
    /// The bath or the heat does not meet the metal.
    #[error("the finish carries {covered}: volts, degrees and minutes need bare metal, or its own {film} alone")]
    Covered {
        /// What lies there.
        covered: String,
        /// What may lie there.
        film: String,
    },
    /// An own table cannot be grown.
    #[error("volts, degrees and minutes need a metal of the library as base, not an own table or inline n, k")]
    OwnBase,
}

/// A ribbon.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ribbon {
    /// 1.
    pub schema: u32,
    /// Key of the setting, such as `voltage_v`.
    pub setting: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// What is shown, in words.
    pub title: String,
    /// One row a tilt.
    pub rows: Vec<Row>,
    /// What to know beside the numbers.
    pub notes: Vec<String>,
}

/// The colours at one tilt.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// Tilt, degrees.
    pub tilt_deg: f64,
    /// Colours in order of the setting.
    pub points: Vec<Point>,
}

/// One colour of a ribbon.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Point {
    /// The setting, in the ribbon's unit.
    pub value: f64,
    /// Thickness of the film, nm.
    pub thickness_nm: f64,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// `#rrggbb`.
    pub srgb: String,
    /// Whether sRGB cannot show it.
    pub srgb_out_of_gamut: bool,
    /// Trade word.
    pub name: String,
}

/// Draws the colours that pass while one setting rises.
///
/// # Errors
/// [`Fault`] for unknown materials, a film or law that does not exist, and spans outside a law.
pub fn ribbon(engine: &Engine, request: &RibbonRequest, conditions: &Conditions) -> Result<Ribbon, Fault> {
    let RibbonRequest { from, to, points, .. } = *request;
    if from.is_nan() || to.is_nan() || from >= to || !(2..=5_000).contains(&points) {
        return Err(RibbonError::BadSpan { from, to, points }.into());
    }
    let track = track(engine, request)?;
    let built = engine.build(&track.finish)?;
    #[expect(clippy::cast_precision_loss, reason = "at most 5,000 points")]
    let settings: Vec<f64> = (0..points).map(|i| from + (to - from) * i as f64 / (points - 1) as f64).collect();
    let tilts = if request.tilts_deg.is_empty() { &[conditions.tilt_deg][..] } else { &request.tilts_deg };
    let mut rows = Vec::new();
    for tilt in tilts {
        let eye = Eye::new(engine, &Conditions { tilt_deg: *tilt, ..conditions.clone() })?;
        let mut row = Vec::with_capacity(points);
        for value in &settings {
            let mut values = built.values().clone();
            let thickness_nm = (track.thickness_nm)(*value);
            values.films[track.film].thickness_nm = thickness_nm;
            let seen = eye.see(&built, &values)?;
            let swatch = engine.swatch(seen.xyz, seen.white, seen.lab);
            row.push(Point {
                value: *value,
                thickness_nm,
                lab: lab_array(seen.lab),
                srgb: swatch.srgb,
                srgb_out_of_gamut: swatch.srgb_out_of_gamut,
                name: swatch.name,
            });
        }
        rows.push(Row { tilt_deg: *tilt, points: row });
    }
    let mut notes = engine.notes(&track.finish);
    notes.extend(track.notes);
    if rows.iter().flat_map(|r| &r.points).any(|p| p.srgb_out_of_gamut) {
        notes.push(
            "some colours are outside sRGB: their swatches have less chroma at the same lightness and hue".to_owned(),
        );
    }
    Ok(Ribbon { schema: 1, setting: track.setting, unit: track.unit, title: track.title, rows, notes })
}

/// What the ribbon rests on.
///
/// # Errors
/// As [`ribbon`].
pub fn why(engine: &Engine, request: &RibbonRequest, conditions: &Conditions) -> Result<Vec<Source>, Fault> {
    let track = track(engine, request)?;
    let mut list = engine.sources(&track.finish, conditions);
    list.extend(track.sources);
    Ok(list)
}

/// How a setting becomes a thickness of which film in which finish.
struct Track {
    finish: FinishFile,
    film: usize,
    thickness_nm: Box<dyn Fn(f64) -> f64>,
    setting: &'static str,
    unit: &'static str,
    title: String,
    notes: Vec<String>,
    sources: Vec<Source>,
}

fn track(engine: &Engine, request: &RibbonRequest) -> Result<Track, Fault> {
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
        return Err(RibbonError::NoFilm { given: film + 1, count }.into());
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

fn metal_of(finish: &FinishFile) -> Result<&str, Fault> {
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
    let laws = anodise_laws(table, electrolyte);
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

pub(crate) fn material_word(material: &MaterialRef) -> String {
    match material {
        MaterialRef::Library { id, .. } => id.clone(),
        MaterialRef::Inline { n, k } => format!("own material (n {n}, k {k})"),
        MaterialRef::Table { file, .. } => format!("own table {file}"),
    }
}

/// The voltages in which the growth law of a finish's metal holds, V; `None` for what no bath colours.
pub fn volts_span(engine: &Engine, finish: &FinishFile, electrolyte: Option<&str>) -> Option<[f64; 2]> {
    let table = engine.library().growth(metal_of(finish).ok()?)?;
    anodise_laws(table, electrolyte).first().map(|(law, _)| law.valid_v)
}

/// A bare mirror of a library material, for ribbons that start from a metal's name.
pub fn bare(id: &str) -> FinishFile {
    FinishFile {
        name: None,
        medium: MediumAbove::Air,
        base: BaseSpec {
            material: MaterialRef::Library { id: id.to_owned(), source: None },
            texture: TextureSpec { word: None, roughness_nm: 0.0, slope_deg: 0.0, assumed: None },
        },
        films: Vec::new(),
        over: Vec::new(),
    }
}
