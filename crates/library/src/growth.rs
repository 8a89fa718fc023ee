//! Anodising: how thick a film a metal grows at a voltage, and in which baths.

use crate::fault::InputError;
use crate::fields::{Document, Fields};

/// One published or joined growth law: thickness = offset + ratio * voltage.
#[derive(Debug, Clone, PartialEq)]
pub struct GrowthLaw {
    /// Its own name.
    pub name: String,
    /// Electrolytes it was measured in; empty: used where no other law fits.
    pub electrolytes: Vec<String>,
    /// Thickness at zero volts, nm, and its standard deviation.
    pub offset_nm: f64,
    /// Standard deviation of the offset, nm.
    pub offset_sd_nm: f64,
    /// Growth ratio, nm/V.
    pub ratio_nm_per_v: f64,
    /// Standard deviation of the ratio, nm/V.
    pub ratio_sd_nm_per_v: f64,
    /// Weight among laws that disagree.
    pub weight: f64,
    /// Range of voltage in which it holds, V.
    pub valid_v: [f64; 2],
    /// `published`, `joined`, `from memory`, ...
    pub status: String,
    /// Who says so.
    pub source: String,
}

/// What a metal grows.
#[derive(Debug, Clone, PartialEq)]
pub struct GrowthTable {
    /// The metals that it holds for.
    pub metals: Vec<String>,
    /// The film.
    pub film: String,
    /// nm of metal that 1 nm of film consumes.
    pub consumed: f64,
    /// Laws; several disagree openly.
    pub laws: Vec<GrowthLaw>,
}

/// A bath.
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
    /// Where these facts come from.
    pub source: String,
}

pub(crate) fn read_growth(file: &str, text: &str) -> Result<GrowthTable, InputError> {
    let document = Document::parse(file, text)?;
    let f = document.fields();
    let mut laws = Vec::new();
    for law in f.tables("law", "laws", 50)? {
        laws.push(read_law(&law)?);
        law.finish()?;
    }
    let table = GrowthTable {
        metals: f.texts("metals")?.ok_or_else(|| f.missing("metals", "metals = [\"titanium\"]"))?,
        film: f.need_text("film", "film = \"titania-anodic\"")?.to_owned(),
        consumed: f.need_number("consumed")?,
        laws,
    };
    f.finish()?;
    Ok(table)
}

fn read_law(f: &Fields<'_>) -> Result<GrowthLaw, InputError> {
    Ok(GrowthLaw {
        name: f.need_text("name", "name = \"joined\"")?.to_owned(),
        electrolytes: f.texts("electrolytes")?.unwrap_or_default(),
        offset_nm: f.need_number("offset_nm")?,
        offset_sd_nm: f.need_number("offset_sd_nm")?,
        ratio_nm_per_v: f.need_number("ratio_nm_per_v")?,
        ratio_sd_nm_per_v: f.need_number("ratio_sd_nm_per_v")?,
        weight: f.number("weight")?.unwrap_or(1.0),
        valid_v: f.range("valid_v")?.ok_or_else(|| f.missing("valid_v", "valid_v = [0, 110]"))?,
        status: f.need_text("status", "status = \"published\"")?.to_owned(),
        source: f.need_text("source", "source = \"...\"")?.to_owned(),
    })
}

pub(crate) fn read_electrolytes(file: &str, text: &str) -> Result<Vec<Electrolyte>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(id, f)| {
            let electrolyte = Electrolyte {
                id: id.to_owned(),
                words: f.need_text("words", "words = \"...\"")?.to_owned(),
                aliases: f.texts("aliases")?.unwrap_or_default(),
                unfit: f.text("unfit")?.map(ToOwned::to_owned),
                breakdown_v: f.number("breakdown_v")?,
                source: f.need_text("source", "source = \"...\"")?.to_owned(),
            };
            f.finish()?;
            Ok(electrolyte)
        })
        .collect()
}
