//! How does the colour move as one setting is turned?

use crate::Progress;
use crate::pictures::ribbon_figure;
use crate::refusal::Refusal;
use crate::request::{Files, ViewRequest, finish, parse};
use huewright::Engine;
use huewright::ribbon::{Axis, RibbonRequest};
use serde::Deserialize;
use serde_json::{Value, json, to_value};

pub(crate) const EXAMPLE: &str = "{\"finish\":{\"base\":{\"material\":\"titanium\"}},\
    \"turn\":{\"setting\":\"voltage_v\",\"electrolyte\":\"citric-acid\"},\"from\":0,\"to\":110,\"points\":111}";

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

pub(crate) fn usual_points() -> usize {
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
