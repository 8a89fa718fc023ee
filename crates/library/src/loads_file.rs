//! The log of a coater's loads as a person writes it: what was set, and which colours came out.

use crate::Reader;
use crate::embedded::Library;
use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields, text_of};
use crate::finish_file::Context;
use crate::recipe_file::{RecipeFile, named};
use crate::recipe_step::{StepWhat, owned};
use crate::wanted::{WantedSpec, read_lab, read_light_word, read_observer, read_wanted};
use std::path::Path;

const MAX_LOADS: usize = 500;
const MAX_WITNESSES: usize = 200;

/// What may be set for a load, with its unit in the key, in the order in which it is told; each has a row in the limits.
pub const LOAD_SETTINGS: [&str; 11] = [
    "argon_sccm",
    "nitrogen_sccm",
    "oxygen_sccm",
    "acetylene_sccm",
    "pressure_pa",
    "cathode_v",
    "current_a",
    "ampere_hours",
    "bias_v",
    "rpm",
    "part_temperature_c",
];
/// Of these the size counts: meters show either sign.
const SIZES: [&str; 2] = ["cathode_v", "bias_v"];

/// The log of a coater's loads.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadsFile {
    /// What the person calls it.
    pub name: Option<String>,
    /// What was ordered.
    pub recipe: Option<RecipeFile>,
    /// The light of all witness colours.
    pub light: String,
    /// The observer of all witness colours, 2 or 10 degrees.
    pub observer: u8,
    /// What is wanted, in place of the recipe's.
    pub wanted: Option<WantedSpec>,
    /// The loads, one or more, in order.
    pub loads: Vec<LoadRow>,
}

/// One load.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadRow {
    /// What the person calls it, or `load N`.
    pub name: String,
    /// When, as `YYYY-MM-DD`.
    pub date: Option<String>,
    /// What was set, in the order of [`LOAD_SETTINGS`]; what a load does not say is as in the load before.
    pub settings: Vec<(&'static str, f64)>,
    /// Shutter times of the lay steps, in their order, s; a single one is that of the last.
    pub seconds: Vec<f64>,
    /// A remark.
    pub note: Option<String>,
    /// What came out, and where.
    pub witnesses: Vec<Witness>,
}

/// A colour that was measured on a part or a coupon.
#[derive(Debug, Clone, PartialEq)]
pub struct Witness {
    /// Where it stood, in the person's words.
    pub at: String,
    /// Above the middle of the load, mm.
    pub height_mm: Option<f64>,
    /// L*, a*, b*.
    pub lab: [f64; 3],
}

impl LoadsFile {
    /// Reads the log from the bytes of `file`. The recipe that it names is fetched with `reader`, from the file's folder.
    ///
    /// # Errors
    /// [`InputError`] with file, line, field, what was given and what is allowed.
    pub fn read(file: &str, bytes: &[u8], library: &Library, reader: Reader<'_>) -> Result<Self, InputError> {
        let text = text_of(file, bytes, "TOML")?;
        let document = Document::parse(file, text)?;
        let f = document.fields();
        let folder = Path::new(file).parent().map(Path::to_path_buf).unwrap_or_default();
        let context = Context { library, reader, folder };
        let recipe = read_ordered(&f, &context)?;
        let steps = recipe.as_ref().map(lay_steps);
        let log = Self {
            name: owned(f.text("name")?),
            light: read_light_word(&f, library)?.unwrap_or_else(|| "D65".to_owned()),
            observer: read_observer(&f)?.unwrap_or(2),
            wanted: f.table("wanted")?.map(|wanted| read_wanted(wanted, library)).transpose()?,
            loads: read_loads(&f, steps)?,
            recipe,
        };
        f.finish()?;
        Ok(log)
    }
}

fn read_ordered(f: &Fields<'_>, context: &Context<'_>) -> Result<Option<RecipeFile>, InputError> {
    let Some(name) = f.text("recipe")? else { return Ok(None) };
    let (path, bytes) = named(f, "recipe", name, context)?;
    let recipe = RecipeFile::read(&path, &bytes, context.library, context.reader)?;
    if lay_steps(&recipe) == 0 {
        let message =
            format!("'{name}' has no step with route = \"sputter\" or \"arc\": it orders nothing from a coater");
        return Err(f.fault("recipe", Problem::Conflict { message }));
    }
    Ok(Some(recipe))
}

fn lay_steps(recipe: &RecipeFile) -> usize {
    recipe.steps.iter().filter(|step| matches!(step.what, StepWhat::Lay(_))).count()
}

/// All `[[load]]`; the recipe orders `steps` films.
fn read_loads(f: &Fields<'_>, steps: Option<usize>) -> Result<Vec<LoadRow>, InputError> {
    let mut loads: Vec<LoadRow> = Vec::new();
    for table in f.tables("load", "loads", MAX_LOADS)? {
        let load = read_load(&table, loads.last(), loads.len() + 1, steps)?;
        if let Some(other) = loads.iter().position(|other| other.name == load.name) {
            let message = format!(
                "load {} is called '{}' too (load {}); give each a name of its own, or none",
                loads.len() + 1,
                load.name,
                other + 1
            );
            return Err(table.fault("name", Problem::Conflict { message }));
        }
        table.finish()?;
        loads.push(load);
    }
    if loads.is_empty() {
        return Err(f.missing("load", "[[load]] with [[load.witness]], at = \"middle\", lab = [38, 4, -42]"));
    }
    Ok(loads)
}

fn read_load(
    f: &Fields<'_>,
    before: Option<&LoadRow>,
    number: usize,
    steps: Option<usize>,
) -> Result<LoadRow, InputError> {
    Ok(LoadRow {
        name: f.text("name")?.map_or_else(|| format!("load {number}"), ToOwned::to_owned),
        date: read_date(f)?.or_else(|| before.and_then(|b| b.date.clone())),
        settings: read_settings(f, before)?,
        seconds: read_seconds(f, before, steps)?,
        note: owned(f.text("note")?),
        witnesses: f
            .tables("witness", "witnesses", MAX_WITNESSES)?
            .into_iter()
            .map(read_witness)
            .collect::<Result<_, _>>()?,
    })
}

fn read_settings(f: &Fields<'_>, before: Option<&LoadRow>) -> Result<Vec<(&'static str, f64)>, InputError> {
    let mut settings = Vec::new();
    for key in LOAD_SETTINGS {
        let given = f.quantity(key)?.map(|v| if SIZES.contains(&key) { v.abs() } else { v });
        let carried = || before?.settings.iter().find(|(k, _)| *k == key).map(|(_, v)| *v);
        settings.extend(given.or_else(carried).map(|v| (key, v)));
    }
    Ok(settings)
}

/// A list for all lay steps, or one time for the last: the others are then as in the load before.
fn read_seconds(f: &Fields<'_>, before: Option<&LoadRow>, steps: Option<usize>) -> Result<Vec<f64>, InputError> {
    let carried = before.map(|b| b.seconds.clone()).unwrap_or_default();
    if !f.holds_list("seconds") {
        let Some(last) = f.quantity("seconds")? else { return Ok(carried) };
        let mut seconds = carried;
        seconds.pop();
        seconds.push(last);
        return Ok(seconds);
    }
    let seconds = f.quantities("seconds", "seconds")?.unwrap_or_default();
    let wanted = match steps {
        Some(steps) if seconds.len() != steps => {
            format!("one time for each lay step of the recipe, which has {steps}, or one number for the last")
        }
        _ if seconds.is_empty() => "one time for each lay step, or one number for the last".to_owned(),
        _ => return Ok(seconds),
    };
    Err(f.fault("seconds", Problem::WrongKind { given: format!("a list of {}", seconds.len()), wanted }))
}

fn read_witness(f: Fields<'_>) -> Result<Witness, InputError> {
    let witness = Witness {
        at: f.need_text("at", "at = \"middle\"")?.to_owned(),
        height_mm: f.quantity_in("height_mm", "witness_height_mm")?,
        lab: read_lab(&f)?.ok_or_else(|| f.missing("lab", "lab = [38, 4, -42]"))?,
    };
    f.finish()?;
    Ok(witness)
}

fn read_date(f: &Fields<'_>) -> Result<Option<String>, InputError> {
    let Some(given) = f.text("date")? else { return Ok(None) };
    if is_date(given) {
        return Ok(Some(given.to_owned()));
    }
    let wanted = "a day of the calendar as \"YYYY-MM-DD\", such as \"2026-11-03\"".to_owned();
    Err(f.fault("date", Problem::WrongKind { given: format!("\"{given}\""), wanted }))
}

/// A day of the Gregorian calendar, written `YYYY-MM-DD`.
fn is_date(text: &str) -> bool {
    let shape = text.len() == 10
        && text.bytes().enumerate().all(|(i, b)| if i == 4 || i == 7 { b == b'-' } else { b.is_ascii_digit() });
    if !shape {
        return false;
    }
    let number = |range: std::ops::Range<usize>| text[range].parse::<u32>().unwrap_or(0);
    let (year, month, day) = (number(0..4), number(5..7), number(8..10));
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&day)
}
