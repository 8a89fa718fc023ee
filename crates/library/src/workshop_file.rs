//! What a person owns or can reach.

use crate::chamber::{LoadSpec, TargetSpec, read_load, read_targets};
use crate::dose::{Dose, read_strength};
use crate::embedded::Library;
use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields, TextOrTable, text_of};
use crate::finish_file::{Context, FilmSpec, MaterialRef, read_films};
use crate::gas_reading::{GasSpec, read_gases};
use crate::supply::{Anodiser, read_anodiser};
use crate::texture::{TextureSpec, read_texture};
use crate::{Reader, Role};
use std::path::Path;

const MAX_ROWS: usize = 200;

/// A metal at hand; parts may come coated.
#[derive(Debug, Clone, PartialEq)]
pub struct Metal {
    /// Library id.
    pub id: String,
    /// Published source of it, `None`: the default.
    pub source: Option<String>,
    /// Films that its parts come with.
    pub films: Vec<FilmSpec>,
    /// Its surface.
    pub texture: TextureSpec,
    /// Temperature of its last heat treatment, C.
    pub tempered_c: Option<f64>,
}

/// A bath.
#[derive(Debug, Clone, PartialEq)]
pub struct Bath {
    /// What the person calls it.
    pub name: String,
    /// Electrolyte id.
    pub electrolyte: String,
    /// Mass per cent, if given or reckoned from the dose.
    pub percent: Option<f64>,
    /// How it was mixed by the spoon, if the strength was given so.
    pub dose: Option<Dose>,
    /// Temperature, C.
    pub temperature_c: f64,
}

/// An oven or kiln.
#[derive(Debug, Clone, PartialEq)]
pub struct Oven {
    /// What the person calls it.
    pub name: String,
    /// Greatest temperature, C.
    pub max_temperature_c: f64,
    /// One standard deviation of the temperature from run to run, C.
    pub repeatability_c: f64,
    /// Relative variation of thickness within the viewed patch.
    pub spread: f64,
}

/// What kind of machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoaterKind {
    /// Cathodic arc.
    Arc,
    /// Magnetron sputtering.
    Sputter,
}

/// A film that a coater lays.
#[derive(Debug, Clone, PartialEq)]
pub struct CoaterFilm {
    /// Library id.
    pub material: String,
    /// Composition that the machine is bound to; `None`: it can be set, where the material is a family.
    pub composition: Option<f64>,
}

/// A machine that lays films in vacuum.
#[derive(Debug, Clone, PartialEq)]
pub struct Coater {
    /// What the person calls it.
    pub name: String,
    /// What kind of machine.
    pub kind: CoaterKind,
    /// What it lays.
    pub films: Vec<CoaterFilm>,
    /// Thinnest film it lays, nm.
    pub thinnest_nm: f64,
    /// Thickest film it lays, nm; `None`: the default of the route.
    pub thickest_nm: Option<f64>,
    /// One standard deviation of thickness from run to run, as a share of it.
    pub repeatability: f64,
    /// One standard deviation of a family's composition from run to run; `None`: the default of the route.
    pub repeatability_composition: Option<f64>,
    /// Deposition rate, nm/min.
    pub rate_nm_per_min: Option<f64>,
    /// Temperature that the part reaches, C.
    pub part_temperature_c: Option<f64>,
    /// Relative variation of thickness within the viewed patch.
    pub spread: f64,
    /// One standard deviation of the shutter time, s.
    pub shutter_s: f64,
    /// Working pressure, Pa.
    pub pressure_pa: Option<f64>,
    /// How parts stand and turn in it.
    pub load: Option<LoadSpec>,
    /// Its targets.
    pub targets: Vec<TargetSpec>,
    /// What the shop reads of its reactive gases.
    pub gases: Vec<GasSpec>,
}

/// What a person owns or can reach.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkshopFile {
    /// What the person calls it.
    pub name: Option<String>,
    /// Metals at hand.
    pub metals: Vec<Metal>,
    /// Baths.
    pub baths: Vec<Bath>,
    /// Supplies.
    pub anodisers: Vec<Anodiser>,
    /// Ovens.
    pub ovens: Vec<Oven>,
    /// Coaters.
    pub coaters: Vec<Coater>,
    /// Whether the person declares facilities licensed for hydrofluoric acid.
    pub licensed_hydrofluoric: bool,
}

impl WorkshopFile {
    /// Reads a workshop from the bytes of `file`.
    ///
    /// # Errors
    /// [`InputError`] with file, line, field, what was given and what is allowed.
    pub fn read(file: &str, bytes: &[u8], library: &Library, reader: Reader<'_>) -> Result<Self, InputError> {
        let text = text_of(file, bytes, "TOML")?;
        let document = Document::parse(file, text)?;
        let f = document.fields();
        let folder = Path::new(file).parent().map(Path::to_path_buf).unwrap_or_default();
        let context = Context { library, reader, folder };
        let name = f.text("name")?.map(ToOwned::to_owned);
        let workshop = Self { name, ..read_workshop(&f, &context)? };
        if workshop.metals.is_empty() {
            return Err(f.missing("metal", "[[metal]] with id = \"titanium\""));
        }
        f.finish()?;
        Ok(workshop)
    }
}

/// Keys of a workshop beside its name; a recipe may hold them itself.
pub(crate) const WORKSHOP_KEYS: [&str; 6] = ["metal", "bath", "anodiser", "oven", "coater", "licensed_hydrofluoric"];

/// The keys of [`WORKSHOP_KEYS`], without a name.
pub(crate) fn read_workshop(f: &Fields<'_>, context: &Context<'_>) -> Result<WorkshopFile, InputError> {
    let library = context.library;
    Ok(WorkshopFile {
        name: None,
        metals: each(f, "metal", "metals", |m| read_metal(m, context))?,
        baths: each(f, "bath", "baths", |b| read_bath(b, library))?,
        anodisers: each(f, "anodiser", "supplies", read_anodiser)?,
        ovens: each(f, "oven", "ovens", read_oven)?,
        coaters: each(f, "coater", "coaters", |c| read_coater(c, library))?,
        licensed_hydrofluoric: f.boolean("licensed_hydrofluoric")?.unwrap_or(false),
    })
}

fn each<T>(
    f: &Fields<'_>,
    key: &str,
    what: &'static str,
    read: impl Fn(&Fields<'_>) -> Result<T, InputError>,
) -> Result<Vec<T>, InputError> {
    f.tables(key, what, MAX_ROWS)?
        .into_iter()
        .map(|row| {
            let value = read(&row)?;
            row.finish()?;
            Ok(value)
        })
        .collect()
}

/// A library id that parts can be made of, under `key`.
pub(crate) fn need_base<'d>(f: &Fields<'d>, key: &str, library: &Library) -> Result<&'d str, InputError> {
    let id = f.need_text(key, &format!("{key} = \"titanium\""))?;
    library.entry(id).map_err(|problem| f.fault(key, problem))?;
    if !library.serves_as(id, Role::Base) {
        let message =
            format!("'{id}' is not a metal or opaque coat that parts are made of; `huewright materials` lists bases");
        return Err(f.fault(key, Problem::Conflict { message }));
    }
    Ok(id)
}

fn read_metal(f: &Fields<'_>, context: &Context<'_>) -> Result<Metal, InputError> {
    let id = need_base(f, "id", context.library)?;
    let source = f.text("source")?;
    if let Some(source) = source {
        context.library.head(id, source).map_err(|problem| f.fault("source", problem))?;
    }
    Ok(Metal {
        id: id.to_owned(),
        source: source.map(ToOwned::to_owned),
        films: read_films(f, "film", context)?,
        texture: read_texture(f, context.library)?,
        tempered_c: f.quantity("tempered_c")?,
    })
}

fn read_bath(f: &Fields<'_>, library: &Library) -> Result<Bath, InputError> {
    let electrolyte = f.need_text("electrolyte", "electrolyte = \"ammonium-sulfate\"")?;
    let found = library.electrolyte_named(electrolyte).map_err(|problem| f.fault("electrolyte", problem))?;
    let (percent, dose) = read_strength(f, found)?;
    Ok(Bath {
        name: f.need_text("name", "name = \"jar 1\"")?.to_owned(),
        electrolyte: found.id.clone(),
        percent,
        dose,
        temperature_c: f.quantity_in("temperature_c", "bath_temperature_c")?.unwrap_or(20.0),
    })
}

fn read_oven(f: &Fields<'_>) -> Result<Oven, InputError> {
    Ok(Oven {
        name: f.need_text("name", "name = \"kiln\"")?.to_owned(),
        max_temperature_c: f.need_quantity("max_temperature_c", "max_temperature_c")?,
        repeatability_c: f.quantity("repeatability_c")?.unwrap_or(0.0),
        spread: f.quantity("spread")?.unwrap_or(0.0),
    })
}

fn read_coater(f: &Fields<'_>, library: &Library) -> Result<Coater, InputError> {
    let thinnest_nm = f.need_quantity("thinnest_nm", "thinnest_nm")?;
    let thickest_nm = f.quantity("thickest_nm")?;
    if let Some(thickest) = thickest_nm
        && thickest < thinnest_nm
    {
        let message = format!("thickest_nm is {thickest} nm, less than thinnest_nm, {thinnest_nm} nm; exchange them");
        return Err(f.fault("thickest_nm", Problem::Conflict { message }));
    }
    let films = read_coater_films(f, library)?;
    if films.is_empty() {
        return Err(f.missing("films", "films = [\"tin\", \"tialn\"]"));
    }
    let load = match f.table("load")? {
        None => None,
        Some(table) => {
            let load = read_load(&table)?;
            table.finish()?;
            Some(load)
        }
    };
    let targets = read_targets(f, load.as_ref())?;
    let gases = read_gases(f, &films, library)?;
    Ok(Coater {
        name: f.need_text("name", "name = \"contract arc\"")?.to_owned(),
        kind: f.need_choice("kind", &[("arc", CoaterKind::Arc), ("sputter", CoaterKind::Sputter)])?,
        films,
        thinnest_nm,
        thickest_nm,
        repeatability: f.quantity("repeatability")?.unwrap_or(0.0),
        repeatability_composition: f.quantity("repeatability_composition")?,
        rate_nm_per_min: f.quantity("rate_nm_per_min")?,
        part_temperature_c: f.quantity("part_temperature_c")?,
        spread: f.quantity("spread")?.unwrap_or(0.0),
        shutter_s: f.quantity("shutter_s")?.unwrap_or(0.0),
        pressure_pa: f.quantity("pressure_pa")?,
        load,
        targets,
        gases,
    })
}

fn read_coater_films(f: &Fields<'_>, library: &Library) -> Result<Vec<CoaterFilm>, InputError> {
    let film = |f: &Fields<'_>, key: &str, id: &str, composition: Option<f64>| {
        library.entry(id).map_err(|problem| f.fault(key, problem))?;
        if !library.serves_as(id, Role::Film) {
            let message = format!("'{id}' is not a film; `huewright materials` lists films");
            return Err(f.fault(key, Problem::Conflict { message }));
        }
        if let Some(given) = composition {
            library.family_for(id, None, given).map_err(|problem| f.fault("composition", problem))?;
        }
        Ok(CoaterFilm { material: id.to_owned(), composition })
    };
    f.texts_or_tables("films")?
        .into_iter()
        .map(|entry| match entry {
            TextOrTable::Text(id) => film(f, "films", id, None),
            TextOrTable::Table(t) => {
                let id = t.need_text("material", "material = \"tialn\"")?;
                let made = film(&t, "material", id, t.quantity("composition")?)?;
                t.finish()?;
                Ok(made)
            }
        })
        .collect()
}

impl Metal {
    /// The material of the bare part.
    pub fn material(&self) -> MaterialRef {
        MaterialRef::Library { id: self.id.clone(), source: self.source.clone() }
    }
}
