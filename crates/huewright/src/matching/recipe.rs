//! A way as a recipe file.

use super::words::{setting_words, span_words};
use super::{Match, Way};
use serde_json::Value;

/// The recipe of a feasible way as TOML: the start, the steps with their settings, what was wanted and what is foretold.
/// `None` for a way that cannot be done.
pub fn recipe_toml(found: &Match, way: &Way) -> Option<String> {
    if !way.feasible {
        return None;
    }
    let mut text =
        String::from("# A recipe written by huewright match. Settings carry their unit in the key.\nschema = 1\n");
    text.push_str(&format!("name = {}\n\n", quoted(&format!("way to {}", found.target.given))));
    text.push_str("[wanted]\n");
    text.push_str(&format!("lab = {}\n", list(&found.target.lab)));
    text.push_str(&format!("given = {}\n\n", quoted(&found.target.given)));
    text.push_str("[foretold]\n");
    if let (Some(lab), Some(name)) = (way.lab, &way.name) {
        text.push_str(&format!("lab = {}\nname = {}\n", list(&lab), quoted(name)));
    }
    for (key, value) in [
        ("delta_e", way.delta_e),
        ("expected_delta_e", way.expected_delta_e),
        ("chance", way.chance),
        ("chance_alike", way.chance_alike),
    ] {
        if let Some(value) = value {
            text.push_str(&format!("{key} = {value:?}\n"));
        }
    }
    text.push_str("\n[start]\n");
    text.push_str(&finish_toml("start", &way.start));
    for note in &way.notes {
        text.push_str(&format!("# rests on: {note}\n"));
    }
    for caution in &way.cautions {
        text.push_str(&format!("# CAUTION: {} ({})\n", caution.text, caution.source));
    }
    // What leaves colour and texture as they are is a step; the rest is a person's choice.
    for advised in way.preparation.iter().filter(|a| a.preparation == "clean") {
        text.push_str(&format!("\n[[step]]\npreparation = {}\n", quoted(&advised.preparation)));
    }
    for (number, step) in way.steps.iter().enumerate() {
        text.push_str("\n[[step]]\n");
        for key in ["route", "machine", "film", "bath", "electrolyte"] {
            if let Some(word) = step[key].as_str() {
                text.push_str(&format!("{key} = {}\n", quoted(word)));
            }
        }
        if let Some(settings) = step["settings"].as_object() {
            for (key, value) in settings {
                if key == "composition" && settings.contains_key("flow_sccm") {
                    // One of the two is set: the flow, which makes the other.
                    text.push_str(&format!("# {key} {}\n", settable(value)));
                    continue;
                }
                let window = way.windows.iter().find(|w| w.step == number + 1 && w.setting == key);
                let holds = window.map_or(String::new(), |w| {
                    format!("  # holds {}, within {:.1} (CIEDE2000)", span_words(key, w.low, w.high), w.delta_e_limit)
                });
                text.push_str(&format!("{key} = {}{holds}\n", settable(value)));
            }
        }
        for other in step["by_other_sources"].as_array().into_iter().flatten() {
            let volts = other["voltage_v"].as_f64().map(|v| setting_words("voltage_v", v)).unwrap_or_default();
            text.push_str(&format!(
                "# or {volts} by another source ({}): test first\n",
                other["status"].as_str().unwrap_or("")
            ));
        }
    }
    text.push_str(&way.machines);
    Some(text)
}

/// The tables of a finish below `path`.
fn finish_toml(path: &str, finish: &Value) -> String {
    let mut text = String::new();
    if let Some(word) = finish["medium"].as_str() {
        text.push_str(&format!("medium = {}\n", quoted(word)));
    }
    text.push_str(&format!("[{path}.base]\n{}", rows(&finish["base"])));
    for film in finish["film"].as_array().into_iter().flatten() {
        text.push_str(&format!("[[{path}.film]]\n{}", rows(film)));
    }
    for coat in finish["over"].as_array().into_iter().flatten() {
        text.push_str(&format!("[[{path}.over]]\n{}", rows(coat)));
    }
    text
}

fn rows(table: &Value) -> String {
    table
        .as_object()
        .into_iter()
        .flatten()
        .map(|(key, value)| match value {
            Value::String(s) => format!("{key} = {}\n", quoted(s)),
            Value::Object(inner) => {
                let parts: Vec<String> = inner
                    .iter()
                    .map(|(k, v)| format!("{k} = {}", v.as_str().map_or_else(|| number(v), quoted)))
                    .collect();
                format!("{key} = {{ {} }}\n", parts.join(", "))
            }
            other => format!("{key} = {}\n", number(other)),
        })
        .collect()
}

/// A setting as a person sets it: four digits.
fn settable(value: &Value) -> String {
    let four = value.as_f64().and_then(|v| format!("{v:.3e}").parse::<f64>().ok());
    four.map_or_else(|| value.to_string(), |v| format!("{v:?}"))
}

fn number(value: &Value) -> String {
    value.as_f64().map_or_else(|| value.to_string(), |v| format!("{v:?}"))
}

fn list(values: &[f64]) -> String {
    let parts: Vec<String> = values.iter().map(|v| format!("{v:?}")).collect();
    format!("[{}]", parts.join(", "))
}

/// A number as TOML has it.
pub(super) fn number_of(value: f64) -> String {
    format!("{value:?}")
}

/// A TOML basic string; TOML escapes what JSON escapes.
pub(super) fn quoted(text: &str) -> String {
    // Save for DEL, which TOML forbids as it stands.
    Value::String(text.to_owned()).to_string().replace('\u{7f}', "\\u007f")
}
