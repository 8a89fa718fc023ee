//! How does the colour move as I turn the setting?

mod of_way;
mod table;
mod track;

pub use of_way::{WayRibbon, way_ribbon};
pub(crate) use track::{growth_source, oxidation_source};

use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::{Swatch, lab_array};
use crate::matching::CautionJson;
use crate::matching::process::anodise_laws;
use crate::provenance::Source;
use library::{BaseSpec, Circumstance, FinishFile, MaterialRef, MediumAbove, TextureSpec};
use serde::Serialize;
use table::bands;
use track::{Track, metal_of, track};

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
    /// More than is drawn.
    #[error(
        "{rows} tilts of {points} colours were asked; a ribbon holds at most {most_rows} tilts and {most} colours in all"
    )]
    TooMany {
        /// Tilts.
        rows: usize,
        /// Colours of each.
        points: usize,
        /// Most tilts.
        most_rows: usize,
        /// Most colours.
        most: usize,
    },
    /// A thickness that no film has.
    #[error("a ribbon by thickness runs between {low} and {high} nm; {given} nm was asked")]
    OutsideThickness {
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
        /// What was asked.
        given: f64,
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
    /// What keeps people safe up to the last setting, where a route is turned.
    pub cautions: Vec<CautionJson>,
}

/// The colours at one tilt.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// Tilt, degrees.
    pub tilt_deg: f64,
    /// Colours in order of the setting.
    pub points: Vec<Point>,
    /// Runs of one trade word along the row.
    pub bands: Vec<Band>,
}

/// A run of one trade word.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Band {
    /// First setting, in the ribbon's unit.
    pub from: f64,
    /// Last setting.
    pub to: f64,
    /// The word.
    pub name: String,
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
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
}

/// Tilts of one ribbon: one for each degree.
const MOST_ROWS: usize = 91;
/// Colours of one ribbon, all tilts together.
const MOST_COLOURS: usize = 50_000;

/// Draws the colours that pass while one setting rises.
///
/// # Errors
/// [`Fault`] for unknown materials, a film or law that does not exist, and spans outside a law.
pub fn ribbon(engine: &Engine, request: &RibbonRequest, conditions: &Conditions) -> Result<Ribbon, Fault> {
    let RibbonRequest { from, to, points, .. } = *request;
    if from.is_nan() || to.is_nan() || from >= to || !(2..=5_000).contains(&points) {
        return Err(RibbonError::BadSpan { from, to, points }.into());
    }
    let asked = request.tilts_deg.len().max(1);
    if asked > MOST_ROWS || asked * points > MOST_COLOURS {
        return Err(RibbonError::TooMany { rows: asked, points, most_rows: MOST_ROWS, most: MOST_COLOURS }.into());
    }
    let track = track(engine, request)?;
    let built = engine.build(&track.finish)?;
    #[expect(clippy::cast_precision_loss, reason = "at most 5,000 points")]
    let settings: Vec<f64> = (0..points).map(|i| from + (to - from) * i as f64 / (points - 1) as f64).collect();
    let tilts = if request.tilts_deg.is_empty() { &[conditions.tilt_deg][..] } else { &request.tilts_deg };
    let mut rows = Vec::new();
    for tilt in tilts {
        let eye = Eye::new(engine, &Conditions { tilt_deg: *tilt, ..conditions.clone() })?;
        let thicknesses: Vec<f64> = settings.iter().map(|value| (track.thickness_nm)(*value)).collect();
        let seen = eye.see_turned(&built, track.film, &thicknesses)?;
        let row: Vec<Point> = settings
            .iter()
            .zip(thicknesses)
            .zip(seen)
            .map(|((value, thickness_nm), seen)| Point {
                value: *value,
                thickness_nm,
                lab: lab_array(seen.lab),
                shown: engine.swatch(seen.xyz, seen.white, seen.lab),
            })
            .collect();
        rows.push(Row { tilt_deg: *tilt, bands: bands(&row), points: row });
    }
    let cautions = cautions(engine, request, &track);
    let mut notes = engine.notes(&track.finish);
    notes.extend(track.notes);
    if rows.iter().flat_map(|r| &r.points).any(|p| p.shown.srgb_out_of_gamut) {
        notes.push(
            "some colours are outside sRGB: their swatches have less chroma at the same lightness and hue".to_owned(),
        );
    }
    Ok(Ribbon { schema: 1, setting: track.setting, unit: track.unit, title: track.title, rows, notes, cautions })
}

/// The cautions of the route that is turned, up to the last setting; none for a thickness, which names no route.
fn cautions(engine: &Engine, request: &RibbonRequest, track: &Track) -> Vec<CautionJson> {
    let (route, electrolyte) = match &request.axis {
        Axis::Thickness { .. } => return Vec::new(),
        Axis::Volts { electrolyte } => ("anodise", electrolyte.as_deref()),
        Axis::Degrees { .. } | Axis::Minutes { .. } => ("heat", None),
    };
    let met = std::iter::once(&track.finish.base.material).chain(track.finish.films.iter().map(|f| &f.material));
    let materials: Vec<&str> = met
        .filter_map(|m| match m {
            MaterialRef::Library { id, .. } => Some(id.as_str()),
            _ => None,
        })
        .collect();
    let mut settings = vec![(track.setting, request.to)];
    if let Axis::Minutes { temperature_c } = &request.axis {
        settings.push(("temperature_c", *temperature_c));
    }
    let step = Circumstance { route, materials, electrolyte, settings, ..Circumstance::default() };
    engine.library().cautions().iter().filter(|c| c.applies(&step)).map(CautionJson::from).collect()
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
    anodise_laws(table, electrolyte, table.field.at_c).first().map(|(law, _)| law.valid_v)
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
