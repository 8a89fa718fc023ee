//! Exactly what happens, minute by minute, and what do I do?

use crate::Progress;
use crate::plan_picture::plan_pictures;
use crate::refusal::Refusal;
use crate::request::{Files, ViewRequest, parse, part, reader, workshop};
use huewright::Engine;
use huewright::plan::{PlanRequest, judged_under, plan as run};
use library::RecipeFile;
use serde::Deserialize;
use serde_json::{Value, json, to_value};

pub(crate) const EXAMPLE: &str = "{\"recipe\":\"schema = 1\\nname = \\\"blue coupon\\\"\\n[start.base]\\nmaterial = \\\"titanium\\\"\\n\
    [[step]]\\nroute = \\\"anodise\\\"\\nvoltage_v = 24\\n\"}";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {
    /// The recipe file, TOML.
    recipe: String,
    /// In place of the recipe's own.
    #[serde(default)]
    workshop: Option<Value>,
    /// In place of the recipe's own.
    #[serde(default)]
    part: Option<Value>,
    /// Another recipe, TOML, whose pieces shall match.
    #[serde(default)]
    beside: Option<String>,
    #[serde(default)]
    view: ViewRequest,
    #[serde(default)]
    files: Files,
    /// Whether pictures of each step, fade and chamber are wanted, as SVG.
    #[serde(default)]
    picture: bool,
}

fn read(engine: &Engine, text: &str, files: &Files) -> Result<RecipeFile, Refusal> {
    RecipeFile::read("recipe", text.as_bytes(), engine.library(), &reader(files)).map_err(|e| Refusal::in_text(&e))
}

pub(crate) fn plan(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let r: Request = parse(request)?;
    let conditions = r.view.conditions(&r.files)?;
    let recipe = read(engine, &r.recipe, &r.files)?;
    let other = r.beside.map(|text| read(engine, &text, &r.files)).transpose()?;
    let shop = r.workshop.map(|w| workshop(engine, &w, &r.files)).transpose()?;
    let piece = r.part.map(|p| part(engine, &p, &r.files)).transpose()?;
    let asked = PlanRequest { recipe: &recipe, workshop: shop.as_ref(), part: piece.as_ref(), beside: other.as_ref() };
    let found = run(engine, &asked, &conditions)?;
    let mut answer = to_value(&found)?;
    if r.picture {
        answer["svg"] = json!(plan_pictures(&found, &judged_under(&recipe, &conditions)));
    }
    Ok(answer)
}
