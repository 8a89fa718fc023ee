//! The ribbon of a way's last step, with its setting.

use crate::Progress;
use crate::pictures::way_figure;
use crate::refusal::Refusal;
use crate::request::{Files, ViewRequest, finish, parse};
use crate::ribbon::usual_points;
use huewright::Engine;
use huewright::ribbon::way_ribbon;
use serde::Deserialize;
use serde_json::{Value, json, to_value};

pub(crate) const EXAMPLE: &str = "{\"start\":{\"base\":{\"material\":\"titanium\"}},\
    \"finish\":{\"base\":{\"material\":\"titanium\"},\"film\":[{\"material\":\"titania-anodic\",\"thickness_nm\":48}]},\
    \"step\":{\"route\":\"anodise\",\"settings\":{\"voltage_v\":22.6}}}";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    start: Value,
    finish: Value,
    step: Value,
    #[serde(default = "usual_points")]
    points: usize,
    #[serde(default)]
    tilts_deg: Vec<f64>,
    /// The wanted colour, `#rrggbb`, for the picture.
    #[serde(default)]
    wanted: Option<String>,
    /// The span in which the colour holds, in the ribbon's unit, for the picture.
    #[serde(default)]
    window: Option<(f64, f64)>,
    /// What the picture is called.
    #[serde(default)]
    title: Option<String>,
    #[serde(default)]
    view: ViewRequest,
    #[serde(default)]
    files: Files,
}

fn is_hex(colour: &str) -> bool {
    colour.strip_prefix('#').is_some_and(|d| d.len() == 6 && d.bytes().all(|b| b.is_ascii_hexdigit()))
}

/// `null` where nothing is set.
pub(crate) fn way(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let r: Request = parse(request)?;
    if let Some(wanted) = &r.wanted
        && !is_hex(wanted)
    {
        return Err(Refusal {
            field: "wanted".to_owned(),
            ..Refusal::words("wanted is a colour for the picture: #rrggbb")
        });
    }
    let conditions = r.view.conditions(&r.files)?;
    let start = finish(engine, &r.start, &r.files)?;
    let made = finish(engine, &r.finish, &r.files)?;
    let Some(drawn) = way_ribbon(engine, [&start, &made], &r.step, r.points, &r.tilts_deg, &conditions)? else {
        return Ok(Value::Null);
    };
    let mut answer = to_value(&drawn)?;
    if let Some(wanted) = r.wanted {
        let mut figure = way_figure(&drawn, &wanted, r.window, &conditions);
        figure.title = r.title.unwrap_or(figure.title);
        answer["svg"] = json!(figure.svg());
        answer["csv"] = json!(drawn.ribbon.csv());
    }
    Ok(answer)
}
