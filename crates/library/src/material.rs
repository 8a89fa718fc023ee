//! One source of one material: its head, and how its index is given.

use crate::csv_table::{IndexTable, read_index};
use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields};

/// A number, or straight lines through points of the family's composition.
#[derive(Debug, Clone, PartialEq)]
pub enum Number {
    /// The same at every composition.
    Fixed(f64),
    /// Piecewise linear.
    Piecewise {
        /// Compositions, rising.
        at: Vec<f64>,
        /// Values there.
        value: Vec<f64>,
    },
}

/// Terms of one bound oscillator.
#[derive(Debug, Clone, PartialEq)]
pub struct Terms {
    /// Share of permittivity.
    pub strength: Number,
    /// Resonance, eV.
    pub energy_ev: Number,
    /// Width, eV.
    pub width_ev: Number,
}

/// Another material, as a part of this one.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its id.
    pub material: String,
    /// Its source.
    pub source: String,
}

/// How the index is given.
#[derive(Debug, Clone, PartialEq)]
pub enum Optical {
    /// A table of n and k.
    Table {
        /// Rising, nm.
        wavelength_nm: Vec<f64>,
        /// n > 0.
        n: Vec<f64>,
        /// k >= 0.
        k: Vec<f64>,
    },
    /// n = a + b/L^2 + c/L^4 (L in micrometres), constant k.
    Cauchy {
        /// Constant.
        a: f64,
        /// Per L^2.
        b_um2: f64,
        /// Per L^4.
        c_um4: f64,
        /// Extinction.
        k: f64,
    },
    /// Free and bound electrons.
    DrudeLorentz {
        /// From far above the visible.
        epsilon_infinity: Number,
        /// Plasma energy squared, eV^2.
        plasma_ev2: Number,
        /// Damping, eV.
        damping_ev: Number,
        /// Oscillators.
        oscillators: Vec<Terms>,
    },
    /// Another source, perhaps with its k replaced.
    SameAs {
        /// Which.
        part: Part,
        /// The k at every wavelength, if replaced.
        k: Option<f64>,
    },
    /// Grains of two materials; composition is the volume share of the second.
    Bruggeman {
        /// At composition 0.
        first: Part,
        /// At composition 1.
        second: Part,
    },
    /// Two layers that make one film; composition is the thickness share of the outer.
    Stack {
        /// On the base.
        inner: Part,
        /// On the inner.
        outer: Part,
    },
}

/// One source of one material.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// The id.
    pub material: String,
    /// The source's own id.
    pub source: String,
    /// Who published it.
    pub citation: String,
    /// DOI, if there is one.
    pub doi: Option<String>,
    /// Where in the source, and by which way it came.
    pub locator: String,
    /// Licence of the numbers.
    pub licence: String,
    /// `table`, `formula`, `digitised`, `fitted`, `model`, `memory`.
    pub obtained: String,
    /// How the sample was made and measured.
    pub conditions: String,
    /// As the source states it, or "not stated".
    pub uncertainty: String,
    /// Range of the source, nm.
    pub valid_nm: [f64; 2],
    /// What to beware of.
    pub caveats: Vec<String>,
    /// Why this stands in for a table that is missing; marked wherever its numbers appear.
    pub stand_in: Option<String>,
    /// The index.
    pub optical: Optical,
}

/// Reads a head; `table` fetches the CSV that it names.
pub(crate) fn read_head(
    file: &str,
    text: &str,
    table: &dyn Fn(&str) -> Option<&'static str>,
) -> Result<Head, InputError> {
    let document = Document::parse(file, text)?;
    let fields = document.fields();
    let need = |key| fields.need_text(key, "\"...\"").map(ToOwned::to_owned);
    let optical_fields = fields.need_table("optical")?;
    let head = Head {
        material: need("material")?,
        source: need("source")?,
        citation: need("citation")?,
        doi: fields.text("doi")?.map(ToOwned::to_owned),
        locator: need("locator")?,
        licence: need("licence")?,
        obtained: need("obtained")?,
        conditions: need("conditions")?,
        uncertainty: need("uncertainty")?,
        valid_nm: fields.range("valid_nm")?.ok_or_else(|| fields.missing("valid_nm", "valid_nm = [360, 830]"))?,
        caveats: fields.texts("caveats")?.unwrap_or_default(),
        stand_in: fields.text("stand_in")?.map(ToOwned::to_owned),
        optical: read_optical(&optical_fields, table)?,
    };
    optical_fields.finish()?;
    fields.finish()?;
    Ok(head)
}

fn read_optical(fields: &Fields<'_>, table: &dyn Fn(&str) -> Option<&'static str>) -> Result<Optical, InputError> {
    if let Some(name) = fields.text("table")? {
        let csv = table(name).ok_or_else(|| {
            fields.fault("table", Problem::Unreadable { reason: format!("no file '{name}' beside the head") })
        })?;
        let IndexTable { wavelength_nm, n, k } = read_index(name, csv.as_bytes())?;
        return Ok(Optical::Table { wavelength_nm, n, k });
    }
    if let Some(f) = fields.table("cauchy")? {
        let optical = Optical::Cauchy {
            a: f.need_number("a")?,
            b_um2: f.number("b_um2")?.unwrap_or(0.0),
            c_um4: f.number("c_um4")?.unwrap_or(0.0),
            k: f.number("k")?.unwrap_or(0.0),
        };
        f.finish()?;
        return Ok(optical);
    }
    if let Some(f) = fields.table("drude_lorentz")? {
        let mut oscillators = Vec::new();
        for o in f.tables("oscillator", "oscillators", 20)? {
            oscillators.push(Terms {
                strength: read_number(&o, "strength")?,
                energy_ev: read_number(&o, "energy_ev")?,
                width_ev: read_number(&o, "width_ev")?,
            });
            o.finish()?;
        }
        let optical = Optical::DrudeLorentz {
            epsilon_infinity: read_number(&f, "epsilon_infinity")?,
            plasma_ev2: read_number(&f, "plasma_ev2")?,
            damping_ev: read_number(&f, "damping_ev")?,
            oscillators,
        };
        f.finish()?;
        return Ok(optical);
    }
    if let Some(f) = fields.table("same_as")? {
        let optical = Optical::SameAs { part: read_part_fields(&f)?, k: f.number("k")? };
        f.finish()?;
        return Ok(optical);
    }
    if let Some(f) = fields.table("bruggeman")? {
        let optical = Optical::Bruggeman { first: read_part(&f, "first")?, second: read_part(&f, "second")? };
        f.finish()?;
        return Ok(optical);
    }
    let f = fields.need_table("stack")?;
    let optical = Optical::Stack { inner: read_part(&f, "inner")?, outer: read_part(&f, "outer")? };
    f.finish()?;
    Ok(optical)
}

fn read_part(fields: &Fields<'_>, key: &str) -> Result<Part, InputError> {
    let f = fields.need_table(key)?;
    let part = read_part_fields(&f)?;
    f.finish()?;
    Ok(part)
}

fn read_part_fields(f: &Fields<'_>) -> Result<Part, InputError> {
    Ok(Part {
        material: f.need_text("material", "material = \"tin\"")?.to_owned(),
        source: f.need_text("source", "source = \"schnabel-2018\"")?.to_owned(),
    })
}

fn read_number(fields: &Fields<'_>, key: &str) -> Result<Number, InputError> {
    if fields.has(key)
        && let Ok(Some(f)) = fields.table(key)
    {
        let need = |name| f.numbers(name)?.ok_or_else(|| f.missing(name, &format!("{name} = [0.0, 1.0]")));
        let number = Number::Piecewise { at: need("at")?, value: need("value")? };
        f.finish()?;
        return Ok(number);
    }
    fields.need_number(key).map(Number::Fixed)
}
