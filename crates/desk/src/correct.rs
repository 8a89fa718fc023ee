//! Why did the loads of a coater miss; what next?

use crate::Progress;
use crate::refusal::Refusal;
use crate::request::{Files, parse, reader, workshop};
use huewright::Engine;
use huewright::correct::{CorrectRequest, correct as explain};
use library::LoadsFile;
use serde::Deserialize;
use serde_json::{Value, to_value};

pub(crate) const EXAMPLE: &str = "{\"loads\":\"schema = 1\\n[wanted]\\nlab = [29, 11, -40]\\n[[load]]\\nnitrogen_sccm = 18\\n\
    [[load.witness]]\\nat = \\\"middle\\\"\\nlab = [29, 11, -39]\\n\"}";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    /// The loads file, TOML.
    loads: String,
    /// In place of the recipe's own.
    #[serde(default)]
    workshop: Option<Value>,
    #[serde(default)]
    files: Files,
}

pub(crate) fn correct(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let r: Request = parse(request)?;
    let loads = LoadsFile::read("loads", r.loads.as_bytes(), engine.library(), &reader(&r.files))
        .map_err(|e| Refusal::in_text(&e))?;
    let shop = r.workshop.map(|w| workshop(engine, &w, &r.files)).transpose()?;
    Ok(to_value(explain(engine, &CorrectRequest { loads: &loads, workshop: shop.as_ref() })?)?)
}
