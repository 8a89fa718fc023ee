//! What colour is this finish?

use crate::Progress;
use crate::pictures::spectrum_figure;
use crate::refusal::Refusal;
use crate::request::{Files, ViewRequest, finish, parse};
use huewright::Engine;
use serde::Deserialize;
use serde_json::{Value, json, to_value};

pub(crate) const EXAMPLE: &str = "{\"finish\":{\"base\":{\"material\":\"titanium\"},\
    \"film\":[{\"material\":\"titania-anodic\",\"thickness_nm\":48}]},\"view\":{\"light\":\"A\"}}";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    finish: Value,
    #[serde(default)]
    view: ViewRequest,
    #[serde(default)]
    files: Files,
    /// Whether sources are wanted.
    #[serde(default)]
    why: bool,
    /// Whether the spectrum is wanted as SVG.
    #[serde(default)]
    picture: bool,
}

pub(crate) fn look(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let request: Request = parse(request)?;
    let conditions = request.view.conditions(&request.files)?;
    let finish = finish(engine, &request.finish, &request.files)?;
    let seen = huewright::look::look(engine, &finish, &conditions)?;
    let mut answer = to_value(&seen)?;
    // The same finish in numbers: a page must not read units itself.
    let films = finish.films.iter().map(|f| json!({ "thickness_nm": f.thickness_nm, "spread": f.spread }));
    answer["films"] = films.collect();
    answer["over"] = finish.over.iter().map(|c| json!({ "thickness_um": c.thickness_um })).collect();
    if request.why {
        answer["why"] = to_value(huewright::look::why(engine, &finish, &conditions))?;
    }
    if request.picture {
        let title = finish.name.unwrap_or_else(|| "Reflectance".to_owned());
        answer["svg"] = json!(spectrum_figure(&seen, &title, &conditions).svg());
    }
    Ok(answer)
}
