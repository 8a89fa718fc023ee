//! How does the colour move as one setting is turned?

use crate::Progress;
use crate::pictures::{ribbon_figure, way_figure};
use crate::refusal::Refusal;
use crate::request::{Files, ViewRequest, finish, parse};
use huewright::Engine;
use huewright::ribbon::{Axis, RibbonRequest, way_ribbon};
use serde::Deserialize;
use serde_json::{Value, json, to_value};

pub(crate) const EXAMPLE: &str = "{\"finish\":{\"base\":{\"material\":\"titanium\"}},\
    \"turn\":{\"setting\":\"voltage_v\",\"electrolyte\":\"citric-acid\"},\"from\":0,\"to\":110,\"points\":111}";
pub(crate) const WAY_EXAMPLE: &str = "{\"start\":{\"base\":{\"material\":\"titanium\"}},\
    \"finish\":{\"base\":{\"material\":\"titanium\"},\"film\":[{\"material\":\"titania-anodic\",\"thickness_nm\":48}]},\
    \"step\":{\"route\":\"anodise\",\"settings\":{\"voltage_v\":22.6}}}";

/// What is turned.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, tag = "setting", rename_all = "snake_case")]
enum Turn {
    /// The thickness of a film, counted from 0 at the base.
    ThicknessNm { film: usize },
    /// The volts of a bath.
    VoltageV {
        #[serde(default)]
        electrolyte: Option<String>,
    },
    /// The temperature of a heating of `minutes`.
    TemperatureC { minutes: f64 },
    /// The minutes of a heating at `temperature_c`.
    Minutes { temperature_c: f64 },
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    finish: Value,
    turn: Turn,
    from: f64,
    to: f64,
    #[serde(default = "usual_points")]
    points: usize,
    #[serde(default)]
    tilts_deg: Vec<f64>,
    #[serde(default)]
    view: ViewRequest,
    #[serde(default)]
    files: Files,
    /// Whether SVG and CSV are wanted.
    #[serde(default)]
    picture: bool,
}

fn usual_points() -> usize {
    221
}

pub(crate) fn ribbon(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let r: Request = parse(request)?;
    let conditions = r.view.conditions(&r.files)?;
    let finish = finish(engine, &r.finish, &r.files)?;
    let axis = match r.turn {
        Turn::ThicknessNm { film } => Axis::Thickness { film },
        Turn::VoltageV { electrolyte } => Axis::Volts { electrolyte },
        Turn::TemperatureC { minutes } => Axis::Degrees { minutes },
        Turn::Minutes { temperature_c } => Axis::Minutes { temperature_c },
    };
    let asked = RibbonRequest { finish, axis, from: r.from, to: r.to, points: r.points, tilts_deg: r.tilts_deg };
    let drawn = huewright::ribbon::ribbon(engine, &asked, &conditions)?;
    let mut answer = to_value(&drawn)?;
    if r.picture {
        answer["svg"] = json!(ribbon_figure(&drawn, &conditions, None).svg());
        answer["csv"] = json!(drawn.csv());
    }
    Ok(answer)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WayRequest {
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
    let r: WayRequest = parse(request)?;
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
