//! Settings of a load in a few words: what a page, a picture and a command call alike.

use quantities::LIMITS;

/// A setting of a load, such as `cathode 410 V`; its key ends in its unit.
pub fn setting_words(key: &str, value: f64) -> String {
    let name = match key {
        "ampere_hours" => "target",
        "part_temperature_c" => "part",
        "rpm" => "table",
        _ => key.split('_').next().unwrap_or(key),
    };
    let unit = LIMITS.iter().find(|l| l.key == key).map_or("", |l| l.unit);
    format!("{name} {} {unit}", plain(value)).trim_end().to_owned()
}

/// A length of time as a shutter is set.
pub fn shutter_words(seconds: &[f64]) -> String {
    let list: Vec<String> = seconds.iter().map(|s| plain(*s)).collect();
    format!("shutter {} s", list.join(" and "))
}

/// No more digits than a meter shows.
fn plain(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_setting_has_its_word_and_unit() {
        for (key, value, words) in [
            ("argon_sccm", 60.0, "argon 60 sccm"),
            ("pressure_pa", 0.399_967, "pressure 0.4 Pa"),
            ("cathode_v", 410.0, "cathode 410 V"),
            ("ampere_hours", 120.5, "target 120.5 Ah"),
            ("part_temperature_c", 250.0, "part 250 C"),
            ("rpm", 3.0, "table 3 rpm"),
        ] {
            assert_eq!(setting_words(key, value), words);
        }
        assert_eq!(shutter_words(&[3750.0, 240.0]), "shutter 3750 and 240 s");
    }
}
