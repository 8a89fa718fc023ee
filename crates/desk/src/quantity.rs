//! Text with a unit as a number in the field's unit.

use crate::Progress;
use crate::refusal::Refusal;
use crate::request::parse;
use huewright::Engine;
use quantities::LIMITS;
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    /// Row of the table of limits.
    key: String,
    /// As a person writes it.
    text: String,
}

pub(crate) fn quantity(_: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let request: Request = parse(request)?;
    let Some(row) = LIMITS.iter().find(|l| l.key == request.key) else {
        return Err(Refusal::words(format!("there is no quantity '{}'; `shelf` lists them as limits", request.key)));
    };
    let written = quantities::parse(&request.text, row)
        .map_err(|e| Refusal { field: request.key.clone(), ..Refusal::words(e.to_string()) })?;
    Ok(json!({ "key": row.key, "value": written.value, "unit": row.unit, "assumed": written.assumed }))
}
