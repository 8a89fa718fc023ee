//! Text with a unit, to a number in the field's own unit.

use crate::limits::Limit;
use crate::unit::{Dimension, known, unit};

/// A quantity that could not be read or is out of range. Messages say what was given, what is allowed, what to do.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// The text holds no number.
    #[error("'{given}' is not a number with a unit; write for instance \"{example}\" or the bare number in {unit}")]
    NotANumber {
        /// What was written.
        given: String,
        /// A valid example.
        example: String,
        /// The field's unit.
        unit: &'static str,
    },
    /// Text without a unit, where a bare number would do.
    #[error("\"{given}\" is text without a unit: write the bare number {given} (in {unit}), or add the unit")]
    NoUnit {
        /// What was written.
        given: String,
        /// The field's unit.
        unit: &'static str,
    },
    /// A comma where a point is read.
    #[error("'{given}' has a decimal comma; write {point}")]
    Comma {
        /// What was written.
        given: String,
        /// The same with a point.
        point: String,
    },
    /// The unit is unknown, or measures something else.
    #[error("'{given}' has the unit '{found}', which does not measure {words}; allowed units: {allowed}")]
    WrongUnit {
        /// What was written.
        given: String,
        /// The unit found.
        found: String,
        /// The field in words.
        words: &'static str,
        /// The allowed symbols.
        allowed: String,
    },
    /// NaN or infinite.
    #[error("{words} is {given}, which is not a finite number; give {min} to {max} {unit}")]
    NotFinite {
        /// The field in words.
        words: &'static str,
        /// What was given.
        given: String,
        /// Lower end.
        min: f64,
        /// Upper end.
        max: f64,
        /// The field's unit.
        unit: &'static str,
    },
    /// A number outside the row of the limits table.
    #[error("{words} is {}{}; allowed is {min} to {max}{} ({why})", short(*given), spaced(unit), spaced(unit))]
    OutOfRange {
        /// The field in words.
        words: &'static str,
        /// What was given, in the field's unit.
        given: f64,
        /// The field's unit.
        unit: &'static str,
        /// Lower end.
        min: f64,
        /// Upper end.
        max: f64,
        /// Why the range ends there.
        why: &'static str,
    },
}

/// A unit after its number; a plain share has none.
fn spaced(unit: &str) -> String {
    if unit == "1" { String::new() } else { format!(" {unit}") }
}

/// Six digits are enough to recognise what was given.
fn short(value: f64) -> f64 {
    format!("{value:.5e}").parse().unwrap_or(value)
}

/// A quantity as it was read: the value in the field's unit, and what the reading assumed.
#[derive(Debug, Clone, PartialEq)]
pub struct Written {
    /// The number in the unit of the field's limit row.
    pub value: f64,
    /// An assumption that was made on the way, in words, such as "Ra taken as rms by 1.253".
    pub assumed: Option<String>,
}

/// Ra (mean deviation) to Rq (rms) for a surface with normally distributed heights: sqrt(pi/2).
const RQ_PER_RA: f64 = 1.253_314_137_315_500_3;

/// Reads `given` in the unit of `limit`'s row, and checks it against that row.
///
/// A length whose key ends in `roughness_nm` may carry `Ra` (converted to rms for normally distributed heights) or `Rq`.
///
/// # Errors
/// [`QuantityError`] when there is no number, the unit is unknown or of another kind, or the value is out of range.
pub fn parse(given: &str, limit: &'static Limit) -> Result<Written, QuantityError> {
    let trimmed = given.trim();
    let (kind, body) = roughness_prefix(trimmed, limit);
    let end = number_end(body);
    let number: f64 = body[..end].trim().parse().map_err(|_| not_a_number(given, limit))?;
    let symbol = body[end..].trim();
    if symbol.starts_with(',') && symbol[1..].starts_with(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::Comma { given: given.to_owned(), point: given.replacen(',', ".", 1) });
    }
    let value = if symbol.is_empty() {
        number
    } else {
        convert(number, symbol, limit).ok_or_else(|| QuantityError::WrongUnit {
            given: given.to_owned(),
            found: symbol.to_owned(),
            words: limit.words,
            allowed: known(limit.dimension),
        })?
    };
    let (value, assumed) = match kind {
        Some("Ra") => (
            value * RQ_PER_RA,
            Some(format!("{trimmed} taken as rms by the factor 1.253 of normally distributed heights")),
        ),
        _ => (value, None),
    };
    limit.check(value)?;
    Ok(Written { value, assumed })
}

fn roughness_prefix<'t>(text: &'t str, limit: &Limit) -> (Option<&'static str>, &'t str) {
    if limit.key != "roughness_nm" {
        return (None, text);
    }
    for kind in ["Ra", "Rq"] {
        if let Some(rest) = text.strip_prefix(kind) {
            return (Some(kind), rest.trim_start());
        }
    }
    (None, text)
}

/// Where the leading number of `text` ends. An exponent belongs to the number only if digits follow it.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let exponent = matches!(bytes[at], b'e' | b'E')
            && at > 0
            && bytes.get(at + 1).is_some_and(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-'));
        let sign = matches!(bytes[at], b'+' | b'-') && (at == 0 || matches!(bytes[at - 1], b'e' | b'E'));
        if bytes[at].is_ascii_digit() || bytes[at] == b'.' || exponent || sign {
            at += 1;
        } else {
            break;
        }
    }
    at
}

fn convert(number: f64, symbol: &str, limit: &Limit) -> Option<f64> {
    let from = unit(symbol, limit.dimension)?;
    let to = unit(limit.unit, limit.dimension)?;
    if std::ptr::eq(from, to) {
        return Some(number);
    }
    Some((number * from.factor + from.offset - to.offset) / to.factor)
}

fn not_a_number(given: &str, limit: &'static Limit) -> QuantityError {
    let unit = if limit.dimension == Dimension::Share { "" } else { limit.unit };
    QuantityError::NotANumber {
        given: given.to_owned(),
        example: format!("{} {unit}", limit.min.max(1.0).min(limit.max)).trim_end().to_owned(),
        unit: limit.unit,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::limit;

    fn read(text: &str, key: &str) -> f64 {
        parse(text, limit(key)).unwrap().value
    }

    #[test]
    fn text_with_units_reaches_the_fields_unit() {
        assert!((read("68 F", "bath_temperature_c") - 20.0).abs() < 1e-12); // 68 F = 20 C, exact
        assert!((read("2 in", "gap_mm") - 50.8).abs() < 1e-12);
        assert!((read("2 um/h", "rate_nm_per_min") - 2000.0 / 60.0).abs() < 1e-9);
        assert!((read("15%", "repeatability") - 0.15).abs() < 1e-15);
        assert!((read("48", "thickness_nm") - 48.0).abs() < 1e-15);
        assert!((read("0.048 um", "thickness_nm") - 48.0).abs() < 1e-12);
        assert!((read("4.8e1nm", "thickness_nm") - 48.0).abs() < 1e-12);
        assert!((read("18 F", "repeatability_c") - 10.0).abs() < 1e-12); // a step has no offset
    }

    #[test]
    fn roughness_may_be_ra_in_microinches() {
        let ra = parse("Ra 8 uin", limit("roughness_nm")).unwrap();
        assert!((ra.value - 8.0 * 25.4 * RQ_PER_RA).abs() < 1e-9);
        assert!(ra.assumed.is_some());
        assert!((read("Rq 8 uin", "roughness_nm") - 203.2).abs() < 1e-9);
        assert!(parse("Ra 8 nm", limit("thickness_nm")).is_err());
    }

    #[test]
    fn weights_and_densities_reach_the_fields_unit() {
        assert!((read("1 oz", "weight_g") - 28.349_523_125).abs() < 1e-12);
        assert!((read("1 ozt", "weight_g") - 31.103_476_8).abs() < 1e-12);
        assert!((read("0.25 lb", "weight_g") - 113.398_092_5).abs() < 1e-12);
        assert!((read("8570 kg/m3", "density_g_cm3") - 8.57).abs() < 1e-12);
        let wrong = parse("24 gauge", limit("diameter_mm")).unwrap_err();
        assert!(matches!(wrong, QuantityError::WrongUnit { .. }), "a gauge is a row of a table, not a unit: {wrong}");
    }

    #[test]
    fn speeds_ramps_and_resistances_reach_the_fields_unit() {
        assert!((read("6 mm/min", "speed_mm_per_s") - 0.1).abs() < 1e-12);
        assert!((read("1 in/min", "speed_mm_per_s") - 25.4 / 60.0).abs() < 1e-12);
        assert!((read("30 V/min", "ramp_v_per_s") - 0.5).abs() < 1e-12);
        assert!((read("18 F/min", "ramp_c_per_min") - 10.0).abs() < 1e-12); // a step has no offset
        assert!((read("500 mohm", "internal_ohm") - 0.5).abs() < 1e-12);
        assert!((read("0.4 cm2", "contact_mm2") - 40.0).abs() < 1e-12);
    }

    /// No field takes most of these yet; rows of their own show that their text is read.
    #[test]
    fn pressures_current_densities_and_areas_are_read() {
        static PRESSURE: Limit = row("pressure_pa", "Pa", Dimension::Pressure);
        static DENSITY: Limit = row("current_a_dm2", "A/dm2", Dimension::CurrentDensity);
        static AREA: Limit = row("area_cm2", "cm2", Dimension::Area);
        for (text, row, value) in [
            ("3 mTorr", &PRESSURE, 0.003 * 101_325.0 / 760.0),
            ("2e-3 mbar", &PRESSURE, 0.2),
            ("10 A/ft2", &DENSITY, 1.076_391_041_670_972_3),
            ("15 mA/cm2", &DENSITY, 1.5),
            ("1 sq in", &AREA, 6.4516),
        ] {
            assert!((parse(text, row).unwrap().value - value).abs() < 1e-12, "{text}");
        }
        assert!(matches!(parse("3 mtorr", &PRESSURE), Err(QuantityError::WrongUnit { .. })));
    }

    const fn row(key: &'static str, unit: &'static str, dimension: Dimension) -> Limit {
        Limit { key, unit, dimension, words: key, min: 0.0, max: 1e6, why: "a test" }
    }

    #[test]
    fn a_unit_is_never_guessed() {
        assert!(matches!(parse("48 V", limit("thickness_nm")), Err(QuantityError::WrongUnit { .. })));
        assert!(matches!(parse("48 MV", limit("voltage_v")), Err(QuantityError::WrongUnit { .. })));
        assert!(matches!(parse("thick", limit("thickness_nm")), Err(QuantityError::NotANumber { .. })));
        assert!(matches!(parse("nan", limit("thickness_nm")), Err(QuantityError::NotANumber { .. })));
        assert!(matches!(parse("-3 nm", limit("thickness_nm")), Err(QuantityError::OutOfRange { .. })));
    }

    #[test]
    fn flows_turns_charges_and_pumping_speeds_are_read() {
        assert!((read("0.018 slm", "flow_sccm") - 18.0).abs() < 1e-12);
        assert!((read("0.05 1/s", "rpm") - 3.0).abs() < 1e-12);
        assert!((read("1.2 kAh", "ampere_hours") - 1200.0).abs() < 1e-9);
        assert!((read("360 m3/h", "pumping_l_per_s") - 100.0).abs() < 1e-9);
        assert!((read("4e-3 mbar", "pressure_pa") - 0.4).abs() < 1e-12);
        assert!((read("3 mTorr", "pressure_pa") - 0.003 * 101_325.0 / 760.0).abs() < 1e-15);
        // A flow of gas is counted at 0 C and 1 atm and is no pumping speed, a charge is no current.
        assert!(matches!(parse("18 l/s", limit("flow_sccm")), Err(QuantityError::WrongUnit { .. })));
        assert!(matches!(parse("18 sccm", limit("pumping_l_per_s")), Err(QuantityError::WrongUnit { .. })));
        assert!(matches!(parse("18 A", limit("ampere_hours")), Err(QuantityError::WrongUnit { .. })));
    }
}
