//! Which routes give a colour, with which settings, how sure?

use crate::Progress;
use crate::pictures::{DRAWN, board};
use crate::refusal::Refusal;
use crate::request::{Files, ViewRequest, finish, parse, target, workshop};
use huewright::Engine;
use huewright::matching::{MatchRequest, match_colour, why};
use serde::Deserialize;
use serde_json::{Value, json, to_value};

pub(crate) const EXAMPLE: &str = "{\"colour\":\"deep blue\",\"workshop\":{\"metal\":[{\"id\":\"titanium\"}],\
    \"bath\":[{\"name\":\"jar 1\",\"electrolyte\":\"citric-acid\"}],\
    \"anodiser\":[{\"name\":\"supply\",\"kind\":\"regulated\",\"max_voltage_v\":60}]}}";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    colour: String,
    workshop: Value,
    #[serde(default)]
    from: Option<Value>,
    #[serde(default)]
    view: ViewRequest,
    #[serde(default)]
    files: Files,
    /// Whether sources are wanted.
    #[serde(default)]
    why: bool,
    /// Whether the board of the best ways is wanted as SVG.
    #[serde(default)]
    picture: bool,
}

pub(crate) fn ways(engine: &Engine, request: &str, progress: Progress<'_>) -> Result<Value, Refusal> {
    let r: Request = parse(request)?;
    let conditions = r.view.conditions(&r.files)?;
    let workshop = workshop(engine, &r.workshop, &r.files)?;
    let from = r.from.map(|f| finish(engine, &f, &r.files)).transpose()?;
    let target = target(engine, &r.colour, &conditions, &r.files)?;
    let asked = MatchRequest { target, workshop: &workshop, from: from.as_ref() };
    let found = match_colour(engine, &asked, &conditions, progress)?;
    let mut answer = to_value(&found)?;
    if r.why {
        answer["why"] = to_value(why(engine, &asked, &conditions))?;
    }
    if r.picture {
        answer["svg"] = json!(board(&found, DRAWN, &conditions).svg());
    }
    Ok(answer)
}
