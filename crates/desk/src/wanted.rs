//! A wanted colour: how it was given, how sure it is.

use crate::Progress;
use crate::refusal::Refusal;
use crate::request::{Files, ViewRequest, parse, target};
use huewright::Engine;
use serde::Deserialize;
use serde_json::{Value, to_value};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    /// Text, or the name of a spectrum among the files.
    colour: String,
    #[serde(default)]
    view: ViewRequest,
    #[serde(default)]
    files: Files,
}

pub(crate) fn wanted(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let request: Request = parse(request)?;
    let conditions = request.view.conditions(&request.files)?;
    let target = target(engine, &request.colour, &conditions, &request.files)?;
    Ok(to_value(huewright::wanted::wanted(engine, &target))?)
}
