//! Heat in air: how thick an oxide grows at a temperature in a time.

use crate::fault::InputError;
use crate::fields::Document;

/// A point that a law was fitted through, or was left out of the fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Anchor {
    /// Temperature, C.
    pub temperature_c: f64,
    /// Time, minutes.
    pub minutes: f64,
    /// Thickness, nm.
    pub thickness_nm: f64,
    /// What the source says there.
    pub words: String,
}

/// Parabolic growth: d^2 = d0^2 + k0 exp(-Ea/(R T)) t.
#[derive(Debug, Clone, PartialEq)]
pub struct OxidationLaw {
    /// Activation energy, kJ/mol.
    pub activation_kj_per_mol: f64,
    /// k0, nm^2/s.
    pub k0_nm2_per_s: f64,
    /// Temperatures in which it may be used, C.
    pub valid_c: [f64; 2],
    /// Times in which it may be used, minutes.
    pub valid_minutes: [f64; 2],
    /// Thickness is known within this factor (about two standard deviations of its logarithm).
    pub factor: f64,
    /// `calibration`, `joined`, ...
    pub status: String,
    /// The points it was fitted through.
    pub anchors: Vec<Anchor>,
}

/// What a metal or a nitride grows when hot.
#[derive(Debug, Clone, PartialEq)]
pub struct OxidationTable {
    /// The metals or films that oxidise so.
    pub of: Vec<String>,
    /// The oxide.
    pub film: String,
    /// nm of what lies below that 1 nm of oxide consumes.
    pub consumed: f64,
    /// The law, or `None`: run one coupon first.
    pub law: Option<OxidationLaw>,
    /// Why there is no law, or what to know about it.
    pub note: String,
    /// Who says so.
    pub source: String,
}

pub(crate) fn read_oxidation(file: &str, text: &str) -> Result<OxidationTable, InputError> {
    let document = Document::parse(file, text)?;
    let f = document.fields();
    let law = f
        .table("law")?
        .map(|l| {
            let mut anchors = Vec::new();
            for a in l.tables("anchor", "anchors", 50)? {
                anchors.push(Anchor {
                    temperature_c: a.need_number("temperature_c")?,
                    minutes: a.need_number("minutes")?,
                    thickness_nm: a.need_number("thickness_nm")?,
                    words: a.need_text("words", "words = \"...\"")?.to_owned(),
                });
                a.finish()?;
            }
            let law = OxidationLaw {
                activation_kj_per_mol: l.need_number("activation_kj_per_mol")?,
                k0_nm2_per_s: l.need_number("k0_nm2_per_s")?,
                valid_c: l.range("valid_c")?.ok_or_else(|| l.missing("valid_c", "valid_c = [450, 650]"))?,
                valid_minutes: l
                    .range("valid_minutes")?
                    .ok_or_else(|| l.missing("valid_minutes", "valid_minutes = [10, 240]"))?,
                factor: l.need_number("factor")?,
                status: l.need_text("status", "status = \"calibration\"")?.to_owned(),
                anchors,
            };
            l.finish()?;
            Ok(law)
        })
        .transpose()?;
    let table = OxidationTable {
        of: f.texts("of")?.ok_or_else(|| f.missing("of", "of = [\"titanium\"]"))?,
        film: f.need_text("film", "film = \"titania-anatase\"")?.to_owned(),
        consumed: f.need_number("consumed")?,
        law,
        note: f.need_text("note", "note = \"...\"")?.to_owned(),
        source: f.need_text("source", "source = \"...\"")?.to_owned(),
    };
    f.finish()?;
    Ok(table)
}
