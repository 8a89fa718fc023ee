//! Anodising: how thick a film a metal grows at a voltage, what charge that takes, and what current and warmth change.

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
    /// What charge the film takes.
    pub charge: Charge,
    /// What current and warmth do to the ratio.
    pub field: Field,
}

/// What of the metal's current becomes film.
#[derive(Debug, Clone, PartialEq)]
pub struct Charge {
    /// Electrons that pass for each formula unit of oxide.
    pub valence: f64,
    /// Of one formula unit, g/mol.
    pub molar_mass_g: f64,
    /// Density of the film, g/cm3.
    pub density_g_cm3: f64,
    /// Share of the charge that makes film.
    pub efficiency: f64,
    /// How well density and charge are known.
    pub status: String,
    /// How well the efficiency is known.
    pub efficiency_status: String,
}

/// How the growth ratio depends on current density and on the temperature of the bath.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// B E at the reference current, without dimension: the ratio falls by ln(i/i_ref)/(B E) of itself.
    pub field_times_b: f64,
    /// Current density at which the laws of this table are taken to hold, mA/cm2.
    pub at_ma_per_cm2: f64,
    /// Temperature of the bath at which they are taken to hold, C.
    pub at_c: f64,
    /// Whether the ratio is taken as proportional to absolute temperature.
    pub per_kelvin: bool,
    /// How well this is known.
    pub status: String,
    /// Who says so.
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
        charge: read_charge(f.need_table("charge")?)?,
        field: read_field(f.need_table("field")?)?,
    };
    f.finish()?;
    Ok(table)
}

fn read_charge(f: Fields<'_>) -> Result<Charge, InputError> {
    let charge = Charge {
        valence: f.need_number("valence")?,
        molar_mass_g: f.need_number("molar_mass_g")?,
        density_g_cm3: f.need_number("density_g_cm3")?,
        efficiency: f.need_number("efficiency")?,
        status: f.need_text("status", "status = \"density from memory\"")?.to_owned(),
        efficiency_status: f.need_text("efficiency_status", "efficiency_status = \"assumed\"")?.to_owned(),
    };
    f.finish()?;
    Ok(charge)
}

fn read_field(f: Fields<'_>) -> Result<Field, InputError> {
    let field = Field {
        field_times_b: f.need_number("field_times_b")?,
        at_ma_per_cm2: f.need_number("at_ma_per_cm2")?,
        at_c: f.need_number("at_c")?,
        per_kelvin: f.boolean("per_kelvin")?.ok_or_else(|| f.missing("per_kelvin", "per_kelvin = true"))?,
        status: f.need_text("status", "status = \"assumed\"")?.to_owned(),
        source: f.need_text("source", "source = \"...\"")?.to_owned(),
    };
    f.finish()?;
    Ok(field)
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
