//! The register of materials: what each id is, and which source is meant when none is named.

use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields};

/// What a material may serve as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Under the films.
    Base,
    /// A film.
    Film,
    /// A clear coat over the films.
    Over,
}

/// What kind of stuff it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words say it")]
pub enum Class {
    Metal,
    Semiconductor,
    Nitride,
    Oxynitride,
    Oxide,
    Carbide,
    Carbon,
    Clear,
}

impl Class {
    /// Gases beside argon that a coater lets in for films of this class, so that their cautions are met (common practice).
    pub fn gases(self) -> &'static [&'static str] {
        match self {
            Self::Nitride => &["nitrogen"],
            Self::Oxynitride | Self::Clear => &["nitrogen", "oxygen"],
            Self::Oxide => &["oxygen"],
            Self::Carbide | Self::Carbon => &["acetylene"],
            _ => &[],
        }
    }
}

/// The source that takes a composition.
#[derive(Debug, Clone, PartialEq)]
pub struct Family {
    /// Which source.
    pub source: String,
    /// What the slider means.
    pub words: String,
    /// Causes (data/causes.toml) that a film with less and with more of it shows; `None`: none is told.
    pub drifts: Option<[String; 2]>,
    /// Composition when none is given and the default source is the family itself.
    pub default: Option<f64>,
    /// The range in which the model may be used.
    pub range: [f64; 2],
    /// The range that shops make and that a search may choose from.
    pub made: [f64; 2],
}

/// What the swatch in a list shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// On which base.
    pub on: String,
    /// How thick.
    pub thickness_nm: f64,
}

/// One id.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The id, in trade words.
    pub id: String,
    /// What it is.
    pub words: String,
    /// What it may serve as.
    pub roles: Vec<Role>,
    /// What kind of stuff it is.
    pub class: Class,
    /// The source meant when none is named.
    pub default: String,
    /// The source with a slider, if there is one.
    pub family: Option<Family>,
    /// What a swatch shows (films).
    pub shown: Option<Shown>,
    /// Density, g/cm3 (bases).
    pub density_g_cm3: Option<f64>,
    /// Where it begins to melt, C (bases that a hot coater can harm).
    pub melts_c: Option<f64>,
    /// Sources whose disagreement is the honest uncertainty of what a shop makes; empty: all of them.
    pub rivals: Vec<String>,
}

pub(crate) fn read_register(file: &str, text: &str) -> Result<Vec<Entry>, InputError> {
    let document = Document::parse(file, text)?;
    let root = document.fields();
    root.each_table()?
        .into_iter()
        .map(|(id, fields)| {
            let entry = Entry {
                id: id.to_owned(),
                words: fields.need_text("words", "words = \"...\"")?.to_owned(),
                roles: read_roles(&fields)?,
                class: read_class(&fields)?,
                default: fields.need_text("default", "default = \"...\"")?.to_owned(),
                family: fields.table("family")?.map(read_family).transpose()?,
                shown: fields.table("shown")?.map(read_shown).transpose()?,
                density_g_cm3: fields.number("density_g_cm3")?,
                melts_c: fields.number("melts_c")?,
                rivals: fields.texts("rivals")?.unwrap_or_default(),
            };
            fields.finish()?;
            Ok(entry)
        })
        .collect()
}

fn read_roles(fields: &Fields<'_>) -> Result<Vec<Role>, InputError> {
    let words = fields.texts("roles")?.ok_or_else(|| fields.missing("roles", "roles = [\"film\"]"))?;
    words
        .iter()
        .map(|word| match word.as_str() {
            "base" => Ok(Role::Base),
            "film" => Ok(Role::Film),
            "over" => Ok(Role::Over),
            other => Err(fields.fault(
                "roles",
                Problem::WrongKind { given: other.to_owned(), wanted: "base, film or over".to_owned() },
            )),
        })
        .collect()
}

fn read_class(fields: &Fields<'_>) -> Result<Class, InputError> {
    let word = fields.need_text("class", "class = \"oxide\"")?;
    Ok(match word {
        "metal" => Class::Metal,
        "semiconductor" => Class::Semiconductor,
        "nitride" => Class::Nitride,
        "oxynitride" => Class::Oxynitride,
        "oxide" => Class::Oxide,
        "carbide" => Class::Carbide,
        "carbon" => Class::Carbon,
        "clear" => Class::Clear,
        other => {
            let wanted = "metal, semiconductor, nitride, oxynitride, oxide, carbide, carbon or clear".to_owned();
            return Err(fields.fault("class", Problem::WrongKind { given: other.to_owned(), wanted }));
        }
    })
}

fn read_family(f: Fields<'_>) -> Result<Family, InputError> {
    let range = [f.need_number("from")?, f.need_number("to")?];
    let family = Family {
        source: f.need_text("source", "source = \"...\"")?.to_owned(),
        words: f.need_text("words", "words = \"...\"")?.to_owned(),
        drifts: read_drifts(&f)?,
        default: f.number("default")?,
        range,
        made: f.range("made")?.unwrap_or(range),
    };
    f.finish()?;
    Ok(family)
}

fn read_drifts(f: &Fields<'_>) -> Result<Option<[String; 2]>, InputError> {
    let Some(list) = f.texts("drifts")? else { return Ok(None) };
    let count = list.len();
    <[String; 2]>::try_from(list).map(Some).map_err(|_| {
        let wanted = "two causes of causes.toml: with less of it, with more of it".to_owned();
        f.fault("drifts", Problem::WrongKind { given: format!("a list of {count}"), wanted })
    })
}

fn read_shown(f: Fields<'_>) -> Result<Shown, InputError> {
    let shown =
        Shown { on: f.need_text("on", "on = \"titanium\"")?.to_owned(), thickness_nm: f.need_number("thickness_nm")? };
    f.finish()?;
    Ok(shown)
}
