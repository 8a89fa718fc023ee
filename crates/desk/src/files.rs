//! Files that a person keeps: TOML to JSON with the same keys, and back.

use crate::Progress;
use crate::refusal::Refusal;
use crate::request::{Files, parse, reader, toml_of};
use huewright::Engine;
use library::{FinishFile, PartFile, WorkshopFile};
use serde::Deserialize;
use serde_json::{Value, json};

pub(crate) const READ_EXAMPLE: &str =
    "{\"kind\":\"finish\",\"name\":\"dome.toml\",\"text\":\"schema = 1\\n[base]\\nmaterial = \\\"titanium\\\"\\n\"}";
pub(crate) const WRITE_EXAMPLE: &str = "{\"kind\":\"workshop\",\"value\":{\"metal\":[{\"id\":\"titanium\"}]}}";

/// Which kind of file.
#[derive(Deserialize, Clone, Copy)]
#[serde(rename_all = "snake_case")]
enum Kind {
    Workshop,
    Finish,
    Part,
}

impl Kind {
    fn check(self, engine: &Engine, name: &str, text: &str, files: &Files) -> Result<(), library::InputError> {
        let (bytes, library) = (text.as_bytes(), engine.library());
        let reader = reader(files);
        match self {
            Self::Workshop => WorkshopFile::read(name, bytes, library, &reader).map(|_| ()),
            Self::Finish => FinishFile::read(name, bytes, library, &reader).map(|_| ()),
            Self::Part => PartFile::read(name, bytes, library).map(|_| ()),
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Read {
    kind: Kind,
    /// Name of the file, for messages.
    name: String,
    text: String,
    #[serde(default)]
    files: Files,
}

pub(crate) fn read(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let r: Read = parse(request)?;
    r.kind.check(engine, &r.name, &r.text, &r.files).map_err(|e| Refusal::in_text(&e))?;
    let text = r.text.strip_prefix('\u{feff}').unwrap_or(&r.text);
    let value: Value = toml::from_str(text).map_err(|e| Refusal::words(format!("{}: {e}", r.name)))?;
    Ok(json!({ "value": value }))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Write {
    kind: Kind,
    value: Value,
    #[serde(default)]
    files: Files,
}

pub(crate) fn write(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let r: Write = parse(request)?;
    let text = toml_of(&r.value)?;
    let name = match r.kind {
        Kind::Workshop => "workshop",
        Kind::Finish => "finish",
        Kind::Part => "part",
    };
    r.kind.check(engine, name, &text, &r.files).map_err(|e| Refusal::in_json(&e))?;
    Ok(json!({ "text": text }))
}
