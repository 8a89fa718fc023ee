//! A part as a person writes it.

use crate::embedded::Library;
use crate::fault::{InputError, Problem, nearest};
use crate::fields::{Document, Fields, text_of};
use crate::gauge::Form;
use crate::part_shape::{Measured, ShapeSpec, read_shape, read_thickness};
use crate::texture::{TextureSpec, read_texture};
use crate::workshop_file::need_base;

/// What a part is for; cautions ask about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// Worn on skin.
    Skin,
    /// Meets food.
    Food,
    /// For a child.
    Child,
}

impl Use {
    /// Its word in files and cautions.
    pub fn word(self) -> &'static str {
        USES.iter().find(|(_, meant)| *meant == self).map_or("", |(word, _)| word)
    }
}

const USES: [(&str, Use); 3] = [("skin", Use::Skin), ("food", Use::Food), ("child", Use::Child)];

/// What a weighed part was cut from.
#[derive(Debug, Clone, PartialEq)]
pub enum Stock {
    /// Sheet of this thickness.
    Sheet(Measured),
    /// Wire of this diameter.
    Wire(Measured),
}

/// How the size of a part is known.
#[derive(Debug, Clone, PartialEq)]
pub enum Extent {
    /// Measured.
    Shape(ShapeSpec),
    /// Weighed.
    Weighed {
        /// Of one part, g.
        weight_g: f64,
        /// g/cm3, where the person gives it; otherwise that of the register.
        density_g_cm3: Option<f64>,
        /// What it was cut from.
        stock: Stock,
    },
}

/// A part, or several alike.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFile {
    /// What the person calls it.
    pub name: Option<String>,
    /// Library id of a base.
    pub metal: String,
    /// Its surface.
    pub texture: TextureSpec,
    /// Its size.
    pub extent: Extent,
    /// How many alike.
    pub count: u32,
    /// What it is for.
    pub uses: Vec<Use>,
    /// Temperature of its last heat treatment, C.
    pub tempered_c: Option<f64>,
}

impl PartFile {
    /// Reads a part from the bytes of `file`. It names no other file.
    ///
    /// # Errors
    /// [`InputError`] with file, line, field, what was given and what is allowed.
    pub fn read(file: &str, bytes: &[u8], library: &Library) -> Result<Self, InputError> {
        let text = text_of(file, bytes, "TOML")?;
        let document = Document::parse(file, text)?;
        Self::read_fields(document.fields(), library)
    }

    /// The keys of a part, in a file of its own or in a table of a recipe.
    pub(crate) fn read_fields(f: Fields<'_>, library: &Library) -> Result<Self, InputError> {
        let name = f.text("name")?.map(ToOwned::to_owned);
        let metal = need_base(&f, "metal", library)?.to_owned();
        let texture = read_texture(&f, library)?;
        let count = f.whole("count", "count")?.unwrap_or(1);
        let uses = read_uses(&f)?;
        let tempered_c = f.quantity("tempered_c")?;
        let extent = match (f.table("shape")?, f.table("weighed")?) {
            (Some(shape), None) => {
                let spec = read_shape(&shape, &metal, library)?;
                shape.finish()?;
                Extent::Shape(spec)
            }
            (None, Some(weighed)) => {
                let extent = read_weighed(&weighed, &metal, library)?;
                weighed.finish()?;
                extent
            }
            (Some(_), Some(_)) => {
                let message = "[shape] and [weighed] both say how large the part is; keep one of them".to_owned();
                return Err(f.fault("weighed", Problem::Conflict { message }));
            }
            (None, None) => {
                return Err(f.missing("shape", "[shape] with kind = \"disc\", or [weighed] with weight_g = 42"));
            }
        };
        f.finish()?;
        Ok(Self { name, metal, texture, extent, count, uses, tempered_c })
    }
}

fn read_uses(f: &Fields<'_>) -> Result<Vec<Use>, InputError> {
    let words = f.texts("use")?.unwrap_or_default();
    words
        .iter()
        .map(|word| {
            USES.iter().find(|(known, _)| known == word).map(|(_, meant)| *meant).ok_or_else(|| {
                let known: Vec<&str> = USES.iter().map(|(known, _)| *known).collect();
                f.fault(
                    "use",
                    Problem::UnknownName {
                        what: "use",
                        given: word.clone(),
                        nearest: nearest(word, known.iter().copied()),
                        hint: format!("known: {}", known.join(", ")),
                    },
                )
            })
        })
        .collect()
}

fn read_weighed(f: &Fields<'_>, metal: &str, library: &Library) -> Result<Extent, InputError> {
    let weight_g = f.need_quantity("weight_g", "weight_g")?;
    let density_g_cm3 = f.quantity("density_g_cm3")?;
    let form = match f.text("kind")? {
        Some("sheet") => Form::Sheet,
        Some("wire") => Form::Wire,
        None if f.has("diameter_mm") && !f.has("thickness_mm") => Form::Wire,
        None => Form::Sheet,
        Some(other) => {
            let wanted = "\"sheet\" or \"wire\", what the part was cut from".to_owned();
            return Err(f.fault("kind", Problem::WrongKind { given: format!("\"{other}\""), wanted }));
        }
    };
    let thickness = read_thickness(f, form, metal, library)?;
    let stock = match form {
        Form::Sheet => Stock::Sheet(thickness),
        Form::Wire => Stock::Wire(thickness),
    };
    Ok(Extent::Weighed { weight_g, density_g_cm3, stock })
}
