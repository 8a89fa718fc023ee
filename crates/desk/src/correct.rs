//! Why did the loads of a coater come out as they did; what next?

use crate::Progress;
use crate::loads_picture::loads_figure;
use crate::refusal::Refusal;
use crate::request::{Files, parse, reader, workshop};
use huewright::Engine;
use huewright::correct::{CorrectRequest, correct as run};
use library::LoadsFile;
use serde::Deserialize;
use serde_json::{Value, json, to_value};

pub(crate) const EXAMPLE: &str = "{\"loads\":\"schema = 1\\nname = \\\"two loads\\\"\\n[wanted]\\nlab = [38, 4, -42]\\n\
    [[load]]\\nnitrogen_sccm = 20\\n[[load.witness]]\\nat = \\\"middle\\\"\\nlab = [39, 3, -40]\\n\
    [[load]]\\nnitrogen_sccm = 22\\n[[load.witness]]\\nat = \\\"middle\\\"\\nlab = [37, 6, -43]\\n\"}";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    /// The log of loads, TOML.
    loads: String,
    /// In place of the recipe's own.
    #[serde(default)]
    workshop: Option<Value>,
    /// What the log names: its recipe, and what that names.
    #[serde(default)]
    files: Files,
    /// Whether a picture of the loads is wanted, as SVG.
    #[serde(default)]
    picture: bool,
}

pub(crate) fn correct(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let r: Request = parse(request)?;
    let log = LoadsFile::read("loads", r.loads.as_bytes(), engine.library(), &reader(&r.files))
        .map_err(|e| Refusal::in_text(&e))?;
    let shop = r.workshop.map(|w| workshop(engine, &w, &r.files)).transpose()?;
    let found = run(engine, &CorrectRequest { loads: &log, workshop: shop.as_ref() })?;
    let mut answer = to_value(&found)?;
    if r.picture {
        answer["svg"] = json!(loads_figure(&found).svg());
    }
    Ok(answer)
}
