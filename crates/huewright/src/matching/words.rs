//! Settings and steps in words, with their units: one home for every screen and sentence.

use super::Way;
use serde_json::Value;

/// A setting with its unit, such as `24.1 V` or `shutter 123 s`.
pub fn setting_words(key: &str, value: f64) -> String {
    match key {
        "voltage_v" => format!("{value:.1} V"),
        "temperature_c" => format!("{value:.0} C"),
        "minutes" => format!("{value:.0} min"),
        "thickness_nm" => format!("{value:.1} nm"),
        "seconds" if value >= 600.0 => format!("shutter {:.1} min", value / 60.0),
        "seconds" => format!("shutter {value:.0} s"),
        "composition" => format!("composition {value:.2}"),
        "flow_sccm" => format!("flow {value:.1} sccm"),
        "part_temperature_c" => format!("part {value:.0} C"),
        other => format!("{other} {value:.2}"),
    }
}

/// A span of a setting with its unit, such as `23.0 to 25.2 V` or `shutter 147 s to 12.0 min`.
pub fn span_words(key: &str, low: f64, high: f64) -> String {
    let (from, to) = (setting_words(key, low), setting_words(key, high));
    // The word before the number is said once, and so is the unit where both ends have it.
    let bare = |text: &str| text.trim_start_matches(|c: char| c.is_alphabetic() || c == ' ').to_owned();
    let (from_bare, to_bare) = (bare(&from), bare(&to));
    let word = from.strip_suffix(&from_bare).unwrap_or("");
    match (from_bare.split_once(' '), to_bare.split_once(' ')) {
        (Some((number, unit)), Some((_, other))) if unit == other => format!("{word}{number} to {to_bare}"),
        _ => format!("{word}{from_bare} to {to_bare}"),
    }
}

/// What is done to what (`titanium: anodise in jar 1 (bench supply)`), and what is set (`24.1 V`). `start` is a finish
/// and `steps` are routes with settings, as `match` gives them.
pub fn steps_words(start: &Value, steps: &[Value]) -> [String; 2] {
    let base = material_words(&start["base"]["material"]);
    let films: Vec<String> = start["film"]
        .as_array()
        .into_iter()
        .flatten()
        .map(|f| format!("{:.0} nm {}", f["thickness_nm"].as_f64().unwrap_or(0.0), material_words(&f["material"])))
        .collect();
    let start = if films.is_empty() { base } else { format!("{base} with {}", films.join(" and ")) };
    let mut doing: Vec<String> = steps.iter().map(doing_words).collect();
    if doing.is_empty() {
        doing.push("any route".to_owned());
    }
    [format!("{start}: {}", doing.join(", then ")), settings_words(steps)]
}

fn doing_words(step: &Value) -> String {
    let word = |key: &str| step[key].as_str().unwrap_or("");
    match word("route") {
        "anodise" if word("bath").is_empty() => format!("anodise ({})", word("machine")),
        "anodise" => format!("anodise in {} ({})", word("bath"), word("machine")),
        "heat" => format!("heat in air ({})", word("machine")),
        route => {
            let verb = if route == "arc" { "arc-coat with" } else { "sputter" };
            format!("{verb} {} ({})", word("film"), word("machine"))
        }
    }
}

/// What is set, step by step, such as `24.1 V`.
pub fn settings_words(steps: &[Value]) -> String {
    steps.iter().map(set_words).collect::<Vec<String>>().join("; then ")
}

fn set_words(step: &Value) -> String {
    let settings: Vec<String> = step["settings"]
        .as_object()
        .into_iter()
        .flatten()
        .filter_map(|(key, value)| value.as_f64().map(|v| setting_words(key, v)))
        .collect();
    let others = step["by_other_sources"].as_array().into_iter().flatten();
    let others: String = others
        .filter_map(|o| Some((o["voltage_v"].as_f64()?, o["beyond_supply"].as_bool().unwrap_or(false))))
        .map(|(v, beyond)| {
            let more = if beyond { " (more than this supply gives)" } else { "" };
            format!(", or {}{more} by another source: test first", setting_words("voltage_v", v))
        })
        .collect();
    settings.join(", ") + &others
}

/// The odds of a way, in words.
pub fn odds_words(way: &Way) -> String {
    let number = |v: Option<f64>| v.unwrap_or(f64::NAN);
    let called = way.chance_of_name.map_or(String::new(), |c| format!(" ({:.0} % bear the word)", 100.0 * c));
    format!(
        "chance {:.0} %{called}, twice alike {:.0} %; difference (CIEDE2000) {:.1} nominal, {:.1} expected",
        100.0 * number(way.chance),
        100.0 * number(way.chance_alike),
        number(way.delta_e),
        number(way.expected_delta_e)
    )
}

fn material_words(material: &Value) -> String {
    material.as_str().map_or_else(|| "own material".to_owned(), ToOwned::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_says_its_unit_once() {
        assert_eq!(span_words("voltage_v", 23.0, 25.2), "23.0 to 25.2 V");
        assert_eq!(span_words("composition", 0.5, 0.61), "composition 0.50 to 0.61");
        assert_eq!(span_words("seconds", 147.0, 160.0), "shutter 147 to 160 s");
        assert_eq!(span_words("seconds", 500.0, 720.0), "shutter 500 s to 12.0 min");
        assert_eq!(span_words("part_temperature_c", 300.0, 450.0), "part 300 to 450 C");
    }
}
