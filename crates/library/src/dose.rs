//! How strong a bath is when it was mixed by the spoon: `1 tsp in 1 cup`.

use crate::electrolyte::Electrolyte;
use crate::fault::{InputError, Problem};
use crate::fields::Fields;
use quantities::{Dimension, limit, unit};

/// Of water, g/ml: 0.998 at 20 C, nearer than any spoon.
const WATER_G_PER_ML: f64 = 1.0;

/// A bath as it was mixed.
#[derive(Debug, Clone, PartialEq)]
pub struct Dose {
    /// As the person wrote it.
    pub written: String,
    /// What was dissolved, g.
    pub solute_g: f64,
    /// In how much water, g.
    pub water_g: f64,
    /// How well the weight of a spoon is known; `None` where the person weighed.
    pub bulk_status: Option<String>,
}

/// `percent`, or `dose` and the mass per cent that it makes.
pub(crate) fn read_strength(
    f: &Fields<'_>,
    electrolyte: &Electrolyte,
) -> Result<(Option<f64>, Option<Dose>), InputError> {
    let percent = f.quantity("percent")?;
    let Some(written) = f.text("dose")? else { return Ok((percent, None)) };
    if percent.is_some() {
        let message = "percent and dose say the same thing twice; keep one of them".to_owned();
        return Err(f.fault("dose", Problem::Conflict { message }));
    }
    let dose = mixed(written, electrolyte).map_err(|problem| f.fault("dose", problem))?;
    let percent = limit("percent")
        .check(100.0 * dose.solute_g / (dose.solute_g + dose.water_g))
        .map_err(|e| f.fault("dose", Problem::Quantity(Box::new(e))))?;
    Ok((Some(percent), Some(dose)))
}

fn conflict(message: String) -> Problem {
    Problem::Conflict { message }
}

/// What `written` weighs.
fn mixed(written: &str, electrolyte: &Electrolyte) -> Result<Dose, Problem> {
    let Some((solute, water)) = written.split_once(" in ") else {
        return Err(conflict(format!(
            "'{written}' does not say how much in how much; write for instance \"1 tsp in 1 cup\" or \"20 g in 1 l\""
        )));
    };
    let (number, symbol) = amount(solute)?;
    let (water_number, water_symbol) = amount(water)?;
    let Some(water_ml) = millilitres(water_number, water_symbol) else {
        return Err(conflict(format!(
            "'{water_symbol}' is not a measure of water here; known: cup, ml, l, gal, quart, pint (US measures)"
        )));
    };
    let water_g = water_ml * WATER_G_PER_ML;
    let written = written.to_owned();
    if let Some(solute_g) = grams(number, symbol) {
        return Ok(Dose { written, solute_g, water_g, bulk_status: None });
    }
    let Some(solute_ml) = millilitres(number, symbol) else {
        return Err(conflict(format!(
            "'{symbol}' is not a measure of what is dissolved here; known: tsp, tbsp, cup, ml (US measures), g, oz"
        )));
    };
    let Some(bulk) = electrolyte.bulk_g_per_ml else {
        let id = &electrolyte.id;
        return Err(conflict(format!(
            "what a spoon of '{id}' weighs is not known here; weigh it (\"20 g in 1 l\"), or give percent"
        )));
    };
    Ok(Dose { written, solute_g: solute_ml * bulk, water_g, bulk_status: electrolyte.bulk_status.clone() })
}

/// The number and the unit of a text such as `1 1/3 cups`.
fn amount(text: &str) -> Result<(f64, &str), Problem> {
    let text = text.trim();
    let end = text.find(char::is_alphabetic).unwrap_or(text.len());
    let (number, symbol) = (text[..end].trim(), text[end..].trim());
    let mut parts = number.split_whitespace();
    let read = match (parts.next(), parts.next(), parts.next()) {
        (Some(one), None, _) => fraction(one).or_else(|| decimal(one)),
        (Some(whole), Some(rest), None) => decimal(whole).and_then(|w| Some(w + fraction(rest)?)),
        _ => None,
    };
    match read {
        Some(value) if value > 0.0 && value.is_finite() => Ok((value, symbol)),
        _ => Err(conflict(format!(
            "'{text}' does not begin with an amount above zero; write for instance 2, 0.5, 1/2 or 1 1/3, then the measure"
        ))),
    }
}

fn decimal(text: &str) -> Option<f64> {
    text.parse().ok()
}

fn fraction(text: &str) -> Option<f64> {
    let (above, below) = text.split_once('/')?;
    Some(decimal(above)? / decimal(below)?)
}

fn millilitres(number: f64, symbol: &str) -> Option<f64> {
    Some(number * unit(symbol, Dimension::Volume)?.factor / unit("ml", Dimension::Volume)?.factor)
}

fn grams(number: f64, symbol: &str) -> Option<f64> {
    Some(number * unit(symbol, Dimension::Mass)?.factor / unit("g", Dimension::Mass)?.factor)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::embedded::Library;
    use crate::fields::Document;

    fn read(electrolyte: &str, rows: &str) -> Result<(Option<f64>, Option<Dose>), String> {
        let library = Library::embedded().unwrap();
        let text = format!("schema = 1\n{rows}");
        let document = Document::parse("bath.toml", &text).unwrap();
        read_strength(&document.fields(), library.electrolyte(electrolyte).unwrap()).map_err(|e| e.to_string())
    }

    /// NIST Handbook 44, appendix C (digits from memory): teaspoon 4.929 ml, cup 236.6 ml, gallon 3785.4 ml; the weights
    /// of spoons are those of data/electrolytes.toml.
    #[test]
    fn a_spoon_in_a_cup_is_a_share_of_the_mass() {
        for (electrolyte, dose, solute_g, water_g) in [
            ("citric-acid", "1 tsp in 1 cup", 4.929 * 0.85, 236.59),
            ("citric-acid", "1/2 teaspoon in 250 ml", 4.929 * 0.85 / 2.0, 250.0),
            ("trisodium-phosphate", "1 1/3 cups in 1 gal", 236.59 * 0.9 * 4.0 / 3.0, 3785.4),
            ("ammonium-sulfate", "2 tbsp in 1 litre", 2.0 * 14.787 * 0.95, 1000.0),
            ("acetic-acid", "20 g in 1 quart", 20.0, 946.35),
            ("acetic-acid", "1oz in 2 pints", 28.35, 946.35),
        ] {
            let (percent, read) = read(electrolyte, &format!("dose = \"{dose}\"")).unwrap();
            let read = read.unwrap();
            assert!((read.solute_g / solute_g - 1.0).abs() < 1e-4, "{dose}: {}", read.solute_g);
            assert!((read.water_g / water_g - 1.0).abs() < 1e-4, "{dose}: {}", read.water_g);
            let expected = 100.0 * solute_g / (solute_g + water_g);
            assert!((percent.unwrap() / expected - 1.0).abs() < 1e-4, "{dose}: {percent:?}");
            assert_eq!(read.bulk_status.is_none(), electrolyte == "acetic-acid", "{dose}: weighed or by the spoon");
        }
    }

    #[test]
    fn what_cannot_be_weighed_is_refused_with_what_to_write() {
        for (electrolyte, rows, part) in [
            ("citric-acid", "dose = \"1 tsp in 1 cup\"\npercent = 2", "say the same thing twice"),
            ("citric-acid", "dose = \"1 tsp\"", "how much in how much"),
            ("citric-acid", "dose = \"1 pinch in 1 cup\"", "'pinch' is not a measure of what is dissolved"),
            ("citric-acid", "dose = \"1 tsp in 1 bucket\"", "'bucket' is not a measure of water"),
            ("citric-acid", "dose = \"some tsp in 1 cup\"", "does not begin with an amount"),
            ("citric-acid", "dose = \"1/0 tsp in 1 cup\"", "does not begin with an amount"),
            ("citric-acid", "dose = \"-1 tsp in 1 cup\"", "does not begin with an amount"),
            ("citric-acid", "dose = \"1 mg in 1 gal\"", "strength of the bath"),
            ("acetic-acid", "dose = \"1 tbsp in 1 cup\"", "a spoon of 'acetic-acid' weighs is not known"),
        ] {
            let message = read(electrolyte, rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}
