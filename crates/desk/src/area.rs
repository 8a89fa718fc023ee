//! How much surface has this part?

use crate::Progress;
use crate::refusal::Refusal;
use crate::request::{parse, toml_of};
use huewright::{Engine, part};
use library::PartFile;
use serde::Deserialize;
use serde_json::{Value, to_value};

pub(crate) const EXAMPLE: &str =
    "{\"part\":{\"metal\":\"titanium\",\"shape\":{\"kind\":\"disc\",\"diameter_mm\":58,\"thickness_mm\":1}}}";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    /// A part with the keys of its file.
    part: Value,
}

pub(crate) fn area(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let request: Request = parse(request)?;
    let text = toml_of(&request.part)?;
    let part = PartFile::read("part", text.as_bytes(), engine.library()).map_err(|e| Refusal::in_json(&e))?;
    Ok(to_value(part::area(engine, &part)?)?)
}
