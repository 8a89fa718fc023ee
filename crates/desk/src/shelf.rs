//! What there is to choose from: asked once, when a page opens.

use crate::Progress;
use crate::pictures::DRAWN;
use crate::refusal::Refusal;
use crate::request::parse;
use huewright::matching::{ALIKE_DELTA_E, FEASIBLE_DELTA_E, LAND_DELTA_E, SAMPLES, TOLD_SHARE};
use huewright::{Conditions, Engine};
use library::{Class, Entry, Library, Role};
use quantities::LIMITS;
use serde::Deserialize;
use serde_json::{Value, json};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Request {}

pub(crate) fn shelf(engine: &Engine, request: &str, _: Progress<'_>) -> Result<Value, Refusal> {
    let Request {} = parse(request)?;
    let library = engine.library();
    let lights: Vec<Value> =
        library.lights().iter().map(|l| json!({ "word": l.light, "words": l.words, "source": l.citation })).collect();
    let observers: Vec<Value> =
        library.observers().iter().map(|o| json!({ "word": o.observer, "words": o.words })).collect();
    let textures: Vec<&str> = library.textures().iter().filter_map(|t| t.word.as_deref()).collect();
    let electrolytes: Vec<Value> = library
        .electrolytes()
        .iter()
        .map(|e| json!({ "id": e.id, "words": e.words, "unfit": e.unfit, "breakdown_v": e.breakdown_v }))
        .collect();
    let limits: Vec<Value> = LIMITS
        .iter()
        .map(|l| json!({ "key": l.key, "unit": l.unit, "words": l.words, "min": l.min, "max": l.max, "why": l.why }))
        .collect();
    let benches: Vec<Value> =
        Library::benches().map(|b| json!({ "id": b.id, "words": b.words, "text": b.text })).collect();
    let examples: Vec<Value> =
        Library::examples().iter().map(|(name, text)| json!({ "name": name, "text": text })).collect();
    Ok(json!({
        "schema": 1,
        "version": env!("CARGO_PKG_VERSION"),
        "lights": lights,
        "observers": observers,
        "textures": textures,
        "names": names(engine)?,
        "materials": library.entries().iter().map(|e| material(engine, e)).collect::<Vec<_>>(),
        "electrolytes": electrolytes,
        "limits": limits,
        "benches": benches,
        "judged": {
            "feasible_delta_e": FEASIBLE_DELTA_E, "land_delta_e": LAND_DELTA_E, "alike_delta_e": ALIKE_DELTA_E,
            "samples": SAMPLES, "told_share": TOLD_SHARE, "drawn_ways": DRAWN,
        },
        "examples": examples,
    }))
}

fn names(engine: &Engine) -> Result<Vec<Value>, Refusal> {
    let conditions = Conditions::default();
    let white = engine.viewing(&conditions)?.white();
    let rows = engine.names().rows().iter();
    Ok(rows
        .map(|row| {
            let shown = engine.swatch_of(row.target, white);
            json!({ "name": row.name, "lab": [row.target.l, row.target.a, row.target.b], "srgb": shown.srgb,
                    "display_p3": shown.display_p3, "srgb_out_of_gamut": shown.srgb_out_of_gamut,
                    "display_p3_out_of_gamut": shown.display_p3_out_of_gamut,
                    "reason": row.reason })
        })
        .collect())
}

fn material(engine: &Engine, entry: &Entry) -> Value {
    let library = engine.library();
    let growth = library.growth(&entry.id);
    let anodise = growth.and_then(|g| {
        let law = g.laws.first()?;
        Some(json!({ "film": g.film, "low_v": law.valid_v[0], "high_v": law.valid_v[1] }))
    });
    let heat = library.oxidation(&entry.id).and_then(|o| {
        let law = o.law.as_ref()?;
        Some(json!({ "film": o.film, "low_c": law.valid_c[0], "high_c": law.valid_c[1],
                     "low_minutes": law.valid_minutes[0], "high_minutes": law.valid_minutes[1] }))
    });
    let roles: Vec<&str> = entry
        .roles
        .iter()
        .map(|r| match r {
            Role::Base => "base",
            Role::Film => "film",
            Role::Over => "over",
        })
        .collect();
    let family = entry.family.as_ref().map(|f| {
        json!({ "words": f.words, "low": f.range[0], "high": f.range[1],
                "default": f.default })
    });
    json!({
        "id": entry.id,
        "words": entry.words,
        "roles": roles,
        "metal": entry.class == Class::Metal,
        "anodise": anodise,
        "heat": heat,
        "family": family,
        "sources": library.sources(&entry.id).iter().map(|h| h.source.clone()).collect::<Vec<_>>(),
    })
}
