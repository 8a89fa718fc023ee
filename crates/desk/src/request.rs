//! What several questions take: the view, files that were dropped, finishes and workshops.

use crate::refusal::Refusal;
use huewright::{Conditions, Engine, Geometry, Light, Target, parse_target};
use library::{FinishFile, InputError, Reader, read_light, read_spectrum};
#[cfg(feature = "all")]
use library::{PartFile, WorkshopFile};
use quantities::limit;
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::Path;

/// Files that a person dropped on the page: name and text.
pub(crate) type Files = BTreeMap<String, String>;

/// Light, observer, tilt, geometry; what is left out is as `look` has it.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct ViewRequest {
    /// A light's word, or the name of a lamp among the files, ending in `.csv`.
    light: String,
    /// Degrees: `2` or `10`.
    observer: String,
    tilt_deg: f64,
    geometry: String,
}

impl Default for ViewRequest {
    fn default() -> Self {
        Self { light: "D65".to_owned(), observer: "2".to_owned(), tilt_deg: 0.0, geometry: "included".to_owned() }
    }
}

impl ViewRequest {
    pub(crate) fn conditions(&self, files: &Files) -> Result<Conditions, Refusal> {
        let light = match files.get(&self.light).filter(|_| is_table(&self.light)) {
            Some(text) => {
                let (wavelength_nm, power) =
                    read_light(&self.light, text.as_bytes()).map_err(|e| Refusal::in_text(&e))?;
                Light::Own { name: self.light.clone(), wavelength_nm, power }
            }
            None => Light::Named(self.light.clone()),
        };
        let tilt_deg = limit("tilt_deg")
            .check(self.tilt_deg)
            .map_err(|e| Refusal { field: "tilt_deg".to_owned(), ..Refusal::words(e.to_string()) })?;
        let geometry = match self.geometry.as_str() {
            "included" => Geometry::Included,
            "excluded" => Geometry::Excluded,
            "specular" => Geometry::Specular,
            other => {
                return Err(Refusal::words(format!("geometry is '{other}'; there are included, excluded, specular")));
            }
        };
        Ok(Conditions { light, observer: self.observer.clone(), tilt_deg, geometry })
    }
}

/// Whether a word names a CSV table.
fn is_table(word: &str) -> bool {
    Path::new(word).extension().is_some_and(|e| e.eq_ignore_ascii_case("csv"))
}

/// Reads the request of a question.
pub(crate) fn parse<'r, T: Deserialize<'r>>(text: &'r str) -> Result<T, Refusal> {
    if !text.trim_start().starts_with('{') {
        return Err(Refusal::words("a request is a JSON object: { ... }"));
    }
    Ok(serde_json::from_str(text)?)
}

/// JSON with the keys of a TOML file, as that file: `null` is left out, and `schema` stands where it was forgotten.
pub(crate) fn toml_of(value: &Value) -> Result<String, Refusal> {
    let mut value = value.clone();
    without_null(&mut value);
    if let Some(table) = value.as_object_mut() {
        table.entry("schema").or_insert(Value::from(1));
        // First, as in a file that a person writes.
        if let Some(schema) = table.shift_remove("schema") {
            table.shift_insert(0, "schema".to_owned(), schema);
        }
    }
    toml::to_string(&value).map_err(|e| Refusal::words(format!("cannot be written as TOML: {e}")))
}

fn without_null(value: &mut Value) {
    match value {
        Value::Object(map) => {
            map.retain(|_, v| !v.is_null());
            map.values_mut().for_each(without_null);
        }
        Value::Array(list) => list.iter_mut().for_each(without_null),
        _ => {}
    }
}

/// Fetches a table among the dropped files.
pub(crate) fn reader(files: &Files) -> impl Fn(&Path) -> std::io::Result<Vec<u8>> + '_ {
    move |path| {
        let name = path.display().to_string();
        files.get(&name).map(|text| text.clone().into_bytes()).ok_or_else(|| {
            std::io::Error::new(std::io::ErrorKind::NotFound, "it was not handed over; drop it on the page")
        })
    }
}

type ReadFile<T> = fn(&str, &[u8], &library::Library, Reader<'_>) -> Result<T, InputError>;

fn from_json<T>(engine: &Engine, what: &str, value: &Value, files: &Files, read: ReadFile<T>) -> Result<T, Refusal> {
    let text = toml_of(value)?;
    read(what, text.as_bytes(), engine.library(), &reader(files))
        .map_err(|e| if e.place.file == what { Refusal::in_json(&e) } else { Refusal::in_text(&e) })
}

/// A finish with the keys of its file.
pub(crate) fn finish(engine: &Engine, value: &Value, files: &Files) -> Result<FinishFile, Refusal> {
    from_json(engine, "finish", value, files, FinishFile::read)
}

/// A workshop with the keys of its file.
#[cfg(feature = "all")]
pub(crate) fn workshop(engine: &Engine, value: &Value, files: &Files) -> Result<WorkshopFile, Refusal> {
    from_json(engine, "workshop", value, files, WorkshopFile::read)
}

/// A part with the keys of its file.
#[cfg(feature = "all")]
pub(crate) fn part(engine: &Engine, value: &Value, files: &Files) -> Result<PartFile, Refusal> {
    from_json(engine, "part", value, files, |file, bytes, library, _| PartFile::read(file, bytes, library))
}

/// A wanted colour: text, or the name of a spectrum among the files.
pub(crate) fn target(engine: &Engine, colour: &str, conditions: &Conditions, files: &Files) -> Result<Target, Refusal> {
    // A file named like a trade word is not that word.
    if let Some(text) = files.get(colour).filter(|_| is_table(colour)) {
        let (wavelength_nm, reflectance) = read_spectrum(colour, text.as_bytes()).map_err(|e| Refusal::in_text(&e))?;
        return Ok(Target::from_spectrum(engine, &wavelength_nm, &reflectance, conditions, colour)?);
    }
    Ok(parse_target(engine, colour, conditions)?)
}
