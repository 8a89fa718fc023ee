//! Why is mine less vivid; what can each route reach at all?

use crate::Progress;
use crate::gamut_picture::gamut_figure;
use crate::refusal::Refusal;
use crate::request::{Files, ViewRequest, finish, parse, target, workshop};
use huewright::Engine;
use huewright::gamut::{GamutRequest, any_workshop, gamut};
use serde::Deserialize;
use serde_json::{Value, json, to_value};

pub(crate) const EXAMPLE: &str = "{\"colour\":\"deep blue\",\"workshop\":{\"metal\":[{\"id\":\"titanium\"}],\
    \"bath\":[{\"name\":\"jar 1\",\"electrolyte\":\"citric-acid\"}],\
    \"anodiser\":[{\"name\":\"supply\",\"kind\":\"regulated\",\"max_voltage_v\":60}]}}";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    /// Left out: whatever the library can grow or lay.
    #[serde(default)]
    workshop: Option<Value>,
    #[serde(default)]
    colour: Option<String>,
    #[serde(default)]
    from: Option<Value>,
    #[serde(default)]
    view: ViewRequest,
    #[serde(default)]
    files: Files,
    /// Whether the figure is wanted as SVG.
    #[serde(default)]
    picture: bool,
    /// Whether every reached cell and line is wanted: some megabytes.
    #[serde(default)]
    full: bool,
}

pub(crate) fn reach(engine: &Engine, request: &str, progress: Progress<'_>) -> Result<Value, Refusal> {
    let r: Request = parse(request)?;
    let conditions = r.view.conditions(&r.files)?;
    let workshops = match &r.workshop {
        Some(value) => vec![workshop(engine, value, &r.files)?],
        None => any_workshop(engine),
    };
    let from = r.from.map(|f| finish(engine, &f, &r.files)).transpose()?;
    let target = r.colour.map(|c| target(engine, &c, &conditions, &r.files)).transpose()?;
    let asked = GamutRequest { target, workshops: &workshops, from: from.as_ref() };
    let found = gamut(engine, &asked, &conditions, progress)?;
    let mut answer = to_value(&found)?;
    if !r.full {
        for way in answer["ways"].as_array_mut().into_iter().flatten() {
            for key in ["cells", "curve"] {
                way.as_object_mut().and_then(|w| w.shift_remove(key));
            }
        }
    }
    if r.picture {
        let own = r.workshop.as_ref().and_then(|w| w["name"].as_str());
        let whose = own.unwrap_or(if r.workshop.is_some() { "this workshop" } else { "the library" });
        answer["svg"] = json!(gamut_figure(&found, whose, &conditions).svg());
    }
    Ok(answer)
}
