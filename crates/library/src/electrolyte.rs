//! Electrolytes: what a bath is made of, how well it conducts, and what a spoonful of it weighs.

use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields};

/// How well a bath conducts at some strengths.
#[derive(Debug, Clone, PartialEq)]
pub struct Conductivity {
    /// Strengths, mass per cent, rising.
    pub percent: Vec<f64>,
    /// Conductivity at each, mS/cm.
    pub ms_per_cm: Vec<f64>,
    /// Temperature of the table, C.
    pub at_c: f64,
    /// Relative change for each kelvin.
    pub per_c: f64,
    /// `published`, `from memory`.
    pub status: String,
    /// Who says so.
    pub source: String,
    /// How well the change with temperature is known, and who says so.
    pub per_c_status: String,
}

/// What a bath is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Electrolyte {
    /// The id.
    pub id: String,
    /// What it is.
    pub words: String,
    /// Short names that a trade uses.
    pub aliases: Vec<String>,
    /// Whether a colour film can be grown in it; if not, why.
    pub unfit: Option<String>,
    /// Greatest voltage before sparks, by practice, V.
    pub breakdown_v: Option<f64>,
    /// How well it conducts; `None`: no table is at hand.
    pub conductivity: Option<Conductivity>,
    /// Mass of the dry salt by the spoon, g/ml; `None`: not bought as a dry salt, or not known.
    pub bulk_g_per_ml: Option<f64>,
    /// How well that is known.
    pub bulk_status: Option<String>,
    /// Where these facts come from.
    pub source: String,
}

/// Reads `data/electrolytes.toml`.
pub(crate) fn read_electrolytes(file: &str, text: &str) -> Result<Vec<Electrolyte>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(id, f)| {
            let bulk_g_per_ml = f.number("bulk_g_per_ml")?;
            let bulk_status = f.text("bulk_status")?.map(ToOwned::to_owned);
            if bulk_g_per_ml.is_some() != bulk_status.is_some() {
                return Err(f.missing("bulk_status", "bulk_g_per_ml = 0.9 and bulk_status = \"from memory\""));
            }
            let electrolyte = Electrolyte {
                id: id.to_owned(),
                words: f.need_text("words", "words = \"...\"")?.to_owned(),
                aliases: f.texts("aliases")?.unwrap_or_default(),
                unfit: f.text("unfit")?.map(ToOwned::to_owned),
                breakdown_v: f.number("breakdown_v")?,
                conductivity: f.table("conductivity")?.map(read_conductivity).transpose()?,
                bulk_g_per_ml,
                bulk_status,
                source: f.need_text("source", "source = \"...\"")?.to_owned(),
            };
            f.finish()?;
            Ok(electrolyte)
        })
        .collect()
}

fn read_conductivity(f: Fields<'_>) -> Result<Conductivity, InputError> {
    let conductivity = Conductivity {
        percent: f.numbers("percent")?.unwrap_or_default(),
        ms_per_cm: f.numbers("ms_per_cm")?.unwrap_or_default(),
        at_c: f.need_number("at_c")?,
        per_c: f.need_number("per_c")?,
        status: f.need_text("status", "status = \"published\"")?.to_owned(),
        source: f.need_text("source", "source = \"...\"")?.to_owned(),
        per_c_status: f.need_text("per_c_status", "per_c_status = \"common practice\"")?.to_owned(),
    };
    let rows = conductivity.percent.len();
    if rows == 0 || conductivity.ms_per_cm.len() != rows || !conductivity.percent.windows(2).all(|w| w[0] < w[1]) {
        let message = "percent and ms_per_cm must be lists of equal length, and percent must rise".to_owned();
        return Err(f.fault("percent", Problem::Table { message }));
    }
    f.finish()?;
    Ok(conductivity)
}
