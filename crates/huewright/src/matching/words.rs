//! Settings in words, with their units: one home for every screen and sentence.

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
        "part_temperature_c" => format!("part {value:.0} C"),
        other => format!("{other} {value:.2}"),
    }
}

/// A span of a setting with its unit, such as `23.0 to 25.2 V`.
pub fn span_words(key: &str, low: f64, high: f64) -> String {
    let (from, to) = (setting_words(key, low), setting_words(key, high));
    // The unit, or the word before the number, is said once.
    match from.rsplit_once(' ') {
        Some((number, _)) if number.parse::<f64>().is_ok() => format!("{number} to {to}"),
        _ => format!("{from} to {}", to.rsplit_once(' ').map_or(to.as_str(), |(_, number)| number)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_span_says_its_unit_once() {
        assert_eq!(span_words("voltage_v", 23.0, 25.2), "23.0 to 25.2 V");
        assert_eq!(span_words("composition", 0.5, 0.61), "composition 0.50 to 0.61");
    }
}
