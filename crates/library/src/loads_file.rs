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

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;

    /// Files that a log in the folder `bench` names.
    fn shelf(path: &Path) -> std::io::Result<Vec<u8>> {
        let text = match path.to_str().unwrap().replace('\\', "/").as_str() {
            "bench/two.toml" => {
                "schema = 1\n[[step]]\npreparation = \"clean\"\n[[step]]\nroute = \"sputter\"\nfilm = \"tin\"\n\
                 thickness_nm = 500\n[[step]]\nroute = \"sputter\"\nfilm = \"tialn\"\nturns = 94\n"
            }
            "bench/hot.toml" => {
                "schema = 1\n[[step]]\nroute = \"heat\"\nflame = true\ntemperature_c = 400\nminutes = 1\n"
            }
            _ => return Err(std::io::ErrorKind::NotFound.into()),
        };
        Ok(text.as_bytes().to_vec())
    }

    fn read(rows: &str) -> Result<LoadsFile, String> {
        let library = Library::embedded().unwrap();
        let text = format!("schema = 1\n{rows}\n");
        LoadsFile::read("bench/loads.toml", text.as_bytes(), &library, &shelf).map_err(|e| e.to_string())
    }

    const THREE: &str = r#"
name = "bells (invented)"
recipe = "two.toml"
observer = 10
[wanted]
lab = [38, 4, -42]
limits = { l = 2 }
[[load]]
date = "2026-11-03"
argon_sccm = 60
nitrogen_sccm = "0.018 slm"
pressure_pa = "4e-3 mbar"
cathode_v = -410
current_a = 8
ampere_hours = 120
bias_v = -80
rpm = 3
part_temperature_c = "482 F"
seconds = [3750, "3.75 min"]
note = "new target"
[[load.witness]]
at = "top outer"
height_mm = -150
lab = [37.2, 4.4, -41]
[[load.witness]]
at = "middle"
lab = [38.1, 4.1, -42]
[[load]]
ampere_hours = "0.13 kAh"
seconds = 230
[[load]]
name = "the third"
cathode_v = 405
[[load.witness]]
at = "middle"
lab = [35, 6, -38]
"#;

    #[test]
    fn a_key_that_is_left_out_is_as_in_the_load_before() {
        let log = read(THREE).unwrap();
        assert_eq!((log.light.as_str(), log.observer, log.loads.len()), ("D65", 10, 3));
        assert!(log.recipe.is_some() && log.wanted.unwrap().limits.is_some());
        let [first, second, third] = &log.loads[..] else { panic!("three loads") };
        let keys: Vec<&str> = first.settings.iter().map(|(key, _)| *key).collect();
        let told: Vec<&str> =
            LOAD_SETTINGS.into_iter().filter(|k| !["oxygen_sccm", "acetylene_sccm"].contains(k)).collect();
        assert_eq!(keys, told);
        let value = |load: &LoadRow, key: &str| load.settings.iter().find(|(k, _)| *k == key).unwrap().1;
        for (key, given) in [
            ("nitrogen_sccm", 18.0),
            ("pressure_pa", 0.4),
            ("cathode_v", 410.0),
            ("bias_v", 80.0),
            ("part_temperature_c", 250.0), // 482 F, exact
        ] {
            assert!((value(first, key) - given).abs() < 1e-9, "{key}");
            assert_eq!(second.settings.len(), 9);
        }
        assert!(
            (value(second, "ampere_hours") - 130.0).abs() < 1e-9 && (value(second, "argon_sccm") - 60.0).abs() < 1e-9
        );
        assert!(
            (value(third, "ampere_hours") - 130.0).abs() < 1e-9 && (value(third, "cathode_v") - 405.0).abs() < 1e-9
        );
        // One number is the time of the last step.
        assert_eq!((&first.seconds[..], &second.seconds[..]), (&[3750.0, 225.0][..], &[3750.0, 230.0][..]));
        assert_eq!(third.seconds, second.seconds);
        assert_eq!((first.name.as_str(), second.name.as_str(), third.name.as_str()), ("load 1", "load 2", "the third"));
        assert_eq!((second.date.as_deref(), second.note.as_deref()), (Some("2026-11-03"), None));
        assert_eq!((first.witnesses.len(), second.witnesses.len(), third.witnesses.len()), (2, 0, 1));
        assert_eq!((first.witnesses[0].height_mm, first.witnesses[1].height_mm), (Some(-150.0), None));
    }

    #[test]
    fn a_log_may_be_as_short_as_one_colour() {
        let log = read("[[load]]\nseconds = 225\n[[load.witness]]\nat = \"middle\"\nlab = [38, 4, -42]").unwrap();
        assert!(log.recipe.is_none() && log.wanted.is_none() && log.name.is_none() && log.observer == 2);
        assert_eq!((log.loads[0].seconds.as_slice(), log.loads[0].settings.len()), ([225.0].as_slice(), 0));
    }

    #[test]
    fn what_no_load_can_be_is_refused() {
        let witness = |row: &str| format!("[[load]]\n[[load.witness]]\n{row}");
        for (rows, part) in [
            ("name = \"x\"".to_owned(), "load: is missing; add for instance `[[load]] with [[load.witness]]"),
            ("[[load]]\nargon = 3".to_owned(), "did you mean 'argon_sccm'?"),
            ("[[load]]\nargon_sccm = \"3 l/s\"".to_owned(), "does not measure flow of argon; allowed units: sccm, slm"),
            ("[[load]]\npressure_pa = \"3 bar\"".to_owned(), "allowed units: Pa, mbar, mTorr, Torr"),
            ("[[load]]\ncathode_v = 9000".to_owned(), "voltage of the cathode is 9000 V; allowed is -3000 to 3000 V"),
            ("[[load]]\nrpm = \"3 Hz\"".to_owned(), "load[1].rpm: '3 Hz' has the unit 'Hz'"),
            ("[[load]]\ndate = \"3.11.2026\"".to_owned(), "a day of the calendar as \"YYYY-MM-DD\""),
            ("[[load]]\ndate = \"2026-02-29\"".to_owned(), "a day of the calendar"),
            ("[[load]]\ndate = \"2026-13-01\"".to_owned(), "a day of the calendar"),
            ("[[load]]\ndate = \"2026-1-001\"".to_owned(), "a day of the calendar"),
            ("[[load]]\ndate = 2026-11-03".to_owned(), "is 2026-11-03, but must be text in quotes"),
            ("[[load]]\nseconds = []".to_owned(), "one time for each lay step, or one number for the last"),
            ("[[load]]\nseconds = [1, \"2 nm\"]".to_owned(), "does not measure time with the shutter open"),
            ("recipe = \"two.toml\"\n[[load]]\nseconds = [1]".to_owned(), "each lay step of the recipe, which has 2"),
            ("recipe = \"hot.toml\"\n[[load]]".to_owned(), "it orders nothing from a coater"),
            ("recipe = \"gone.toml\"\n[[load]]".to_owned(), "recipe: cannot be read: 'gone.toml'"),
            ("[[load]]\nname = \"load 2\"\n[[load]]".to_owned(), "load 2 is called 'load 2' too (load 1)"),
            ("light = \"D64\"\n[[load]]".to_owned(), "did you mean 'D65'?"),
            ("[wanted]\nlimits = { l = 2 }\n[[load]]".to_owned(), "wanted.colour: is missing"),
            (witness("lab = [1, 2, 3]"), "load[1].witness[1].at: is missing"),
            (witness("at = \"top\""), "witness[1].lab: is missing"),
            (witness("at = \"top\"\nlab = [1, 2]"), "three numbers [L, a, b]"),
            (witness("at = \"top\"\nlab = [1, 2, 3]\nheight = 3"), "did you mean 'height_mm'?"),
            ("[[load]]\n".repeat(501), "lists 501 loads; at most 500 are allowed"),
        ] {
            let message = read(&rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
        assert!(is_date("2028-02-29") && is_date("2000-02-29") && !is_date("2100-02-29"));
    }
}
