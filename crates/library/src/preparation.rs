//! Preparations: what is done to a part before or between the routes, and what that does to texture and film.

use crate::fault::{InputError, Problem, nearest};
use crate::fields::{Document, Fields};

/// One way to do a preparation.
#[derive(Debug, Clone, PartialEq)]
pub struct Means {
    /// Its id.
    pub id: String,
    /// What is used.
    pub words: String,
    /// Whether it belongs into licensed facilities.
    pub licensed: bool,
    /// How to do without it; there wherever it is licensed.
    pub instead: Option<String>,
    /// Who says so.
    pub source: String,
}

/// What is done to a part before or between the routes.
#[derive(Debug, Clone, PartialEq)]
pub struct Preparation {
    /// Its id.
    pub id: String,
    /// What to do, as an order.
    pub words: String,
    /// What it does to texture and colour.
    pub does: Vec<String>,
    /// The surface that it leaves, a name among the textures; `None`: the surface stays.
    pub texture: Option<String>,
    /// Whether it takes films off.
    pub strips: bool,
    /// What must not be done with or after it.
    pub forbids: Vec<String>,
    /// Routes before which it is advised.
    pub before: Vec<String>,
    /// Metals for which it is advised; empty: all.
    pub metals: Vec<String>,
    /// Ways to do it, the usual one not always first.
    pub means: Vec<Means>,
    /// What can hurt.
    pub risk: Option<String>,
    /// How well this is known.
    pub status: String,
    /// Who says so.
    pub source: String,
}

impl Preparation {
    /// One of its means.
    ///
    /// # Errors
    /// [`Problem::UnknownName`] with the means there are.
    pub fn means_named(&self, id: &str) -> Result<&Means, Problem> {
        self.means.iter().find(|m| m.id == id).ok_or_else(|| {
            let known: Vec<&str> = self.means.iter().map(|m| m.id.as_str()).collect();
            let hint = if known.is_empty() {
                format!("'{}' has only one way to do it; leave it out", self.id)
            } else {
                format!("means of '{}': {}; or leave it out", self.id, known.join(", "))
            };
            Problem::UnknownName {
                what: "means",
                given: id.to_owned(),
                nearest: nearest(id, known.iter().copied()),
                hint,
            }
        })
    }
}

/// Reads `data/preparations.toml`.
pub(crate) fn read_preparations(file: &str, text: &str) -> Result<Vec<Preparation>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(id, f)| {
            let preparation = Preparation {
                id: id.to_owned(),
                words: f.need_text("words", "words = \"...\"")?.to_owned(),
                does: f.texts("does")?.unwrap_or_default(),
                texture: f.text("texture")?.map(ToOwned::to_owned),
                strips: f.boolean("strips")?.ok_or_else(|| f.missing("strips", "strips = false"))?,
                forbids: f.texts("forbids")?.unwrap_or_default(),
                before: f.texts("before")?.unwrap_or_default(),
                metals: f.texts("metals")?.unwrap_or_default(),
                means: f.tables("means", "means", 20)?.into_iter().map(read_means).collect::<Result<_, _>>()?,
                risk: f.text("risk")?.map(ToOwned::to_owned),
                status: f.need_text("status", "status = \"common practice\"")?.to_owned(),
                source: f.need_text("source", "source = \"...\"")?.to_owned(),
            };
            f.finish()?;
            Ok(preparation)
        })
        .collect()
}

fn read_means(f: Fields<'_>) -> Result<Means, InputError> {
    let means = Means {
        id: f.need_text("id", "id = \"pumice\"")?.to_owned(),
        words: f.need_text("words", "words = \"...\"")?.to_owned(),
        licensed: f.boolean("licensed")?.ok_or_else(|| f.missing("licensed", "licensed = false"))?,
        instead: f.text("instead")?.map(ToOwned::to_owned),
        source: f.need_text("source", "source = \"...\"")?.to_owned(),
    };
    if means.licensed && means.instead.is_none() {
        return Err(f.missing("instead", "instead = \"Rub with pumice and water.\""));
    }
    f.finish()?;
    Ok(means)
}
