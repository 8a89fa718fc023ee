//! Recipes as text, planned; and the library's growth laws as the routes take them.

use huewright::plan::{Plan, PlanRequest, StepPlan, WhyNot, plan};
use huewright::{Conditions, Engine};
use library::RecipeFile;
use routes::anodise::Anodise;
use routes::charge::Oxide;
use routes::field::HighField;
use std::io;
use std::path::{Path, PathBuf};

/// The folder of the bell workshop's demonstration files.
pub fn bells() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples/bells")
}

/// Reads the files that a recipe names.
fn from_disk(path: &Path) -> io::Result<Vec<u8>> {
    std::fs::read(path)
}

/// A recipe, as if it lay in the folder of the bell workshop.
///
/// # Panics
/// When it cannot be read.
pub fn recipe(engine: &Engine, text: &str) -> RecipeFile {
    let file = bells().join("recipe-of-a-test.toml");
    RecipeFile::read(&file.display().to_string(), text.as_bytes(), engine.library(), &from_disk)
        .unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// The plan of a recipe.
///
/// # Panics
/// When it cannot be read.
pub fn planned(engine: &Engine, text: &str) -> Plan {
    let recipe = recipe(engine, text);
    let request = PlanRequest { recipe: &recipe, workshop: None, part: None, beside: None };
    plan(engine, &request, &Conditions::default()).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

/// The same, of a recipe that can be done.
///
/// # Panics
/// When it cannot be done.
pub fn done(engine: &Engine, text: &str) -> Plan {
    let found = planned(engine, text);
    assert!(found.feasible && found.why_not.is_empty(), "{:?}\n{text}", found.why_not);
    found
}

/// The one limit of a recipe that cannot be done.
///
/// # Panics
/// When it can be done, or breaks several limits.
pub fn refused(engine: &Engine, text: &str) -> WhyNot {
    let mut found = planned(engine, text);
    assert!(!found.feasible && found.why_not.len() == 1, "{:?}\n{text}", found.why_not);
    found.why_not.remove(0)
}

/// The last step that is a route.
///
/// # Panics
/// When there is none.
pub fn last_route(plan: &Plan) -> &StepPlan {
    plan.steps.iter().rev().find(|s| s.kind == "route").expect("a route")
}

/// Ids of the cautions of a step.
pub fn caution_ids(step: &StepPlan) -> Vec<&str> {
    step.cautions.iter().map(|c| c.id.as_str()).collect()
}

/// Thickness of the outermost film of an area, nm; 0 without a film.
///
/// # Panics
/// When there is no such area.
pub fn top_nm(plan: &Plan, area: &str) -> f64 {
    let area = plan.areas.iter().find(|a| a.name == area).unwrap_or_else(|| panic!("no area '{area}'"));
    area.made.finish["film"]
        .as_array()
        .and_then(|f| f.last())
        .map_or(0.0, |f| f["thickness_nm"].as_f64().unwrap_or(0.0))
}

/// The growth law called `law` of a metal of the library, in a bath of the law's own temperature.
///
/// # Panics
/// When there is no such metal or law.
pub fn field(engine: &Engine, metal: &str, law: &str) -> HighField {
    let table = engine.library().growth(metal).unwrap_or_else(|| panic!("no growth of '{metal}'"));
    let found = table.laws.iter().find(|l| l.name == law).unwrap_or_else(|| panic!("{metal}: no law '{law}'"));
    HighField {
        law: Anodise {
            offset_nm: found.offset_nm,
            offset_sd_nm: found.offset_sd_nm,
            ratio_nm_per_v: found.ratio_nm_per_v,
            ratio_sd_nm_per_v: found.ratio_sd_nm_per_v,
            consumed: table.consumed,
            repeatability_v: 0.0,
        },
        oxide: Oxide {
            electrons: table.charge.valence,
            molar_mass_g: table.charge.molar_mass_g,
            density_g_cm3: table.charge.density_g_cm3,
            efficiency: table.charge.efficiency,
        },
        slope: table.field.field_times_b,
        at_ma_per_cm2: table.field.at_ma_per_cm2,
        at_c: table.field.at_c,
        bath_c: table.field.at_c,
        warms: table.field.per_kelvin,
    }
}
