//! What is in the library, from whom, and how far do the tables disagree?

use crate::Progress;
use crate::refusal::Refusal;
use crate::request::{Files, ViewRequest, parse};
use huewright::Engine;
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    #[serde(default)]
    view: ViewRequest,
    #[serde(default)]
    files: Files,
}

pub(crate) fn materials(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let request: Request = parse(request)?;
    let conditions = request.view.conditions(&request.files)?;
    Ok(json!({ "schema": 1, "materials": huewright::materials::materials(engine, &conditions)? }))
}
