//! Pieces of JSON that several answers share.

use crate::engine::Engine;
use colour::{DISPLAY_P3, Display, Lab, SRGB, Xyz, adapt};
use library::{FinishFile, MaterialRef, MediumAbove};
use serde::Serialize;
use serde_json::{Map, Value, json};

/// A colour made ready for screens.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Swatch {
    /// `#rrggbb`, reduced in chroma where sRGB cannot show it.
    pub srgb: String,
    /// Whether sRGB cannot show the colour.
    pub srgb_out_of_gamut: bool,
    /// Encoded red, green, blue (0..=1) for Display P3, reduced in chroma where it cannot show the colour.
    pub display_p3: [f64; 3],
    /// Whether Display P3 cannot show the colour.
    pub display_p3_out_of_gamut: bool,
    /// Trade word.
    pub name: String,
}

impl Engine {
    /// The swatch of a colour seen against `white`: adapted to D65 (Bradford), encoded for sRGB and Display P3.
    pub fn swatch(&self, xyz: Xyz, white: Xyz, lab: Lab) -> Swatch {
        let lab_d65 = adapt(xyz, white, Display::white()).to_lab(Display::white());
        let (narrow, wide) = (SRGB.show(lab_d65), DISPLAY_P3.show(lab_d65));
        Swatch {
            srgb: narrow.hex(),
            srgb_out_of_gamut: narrow.out_of_gamut,
            display_p3: wide.rgb,
            display_p3_out_of_gamut: wide.out_of_gamut,
            name: self.names().name(lab).to_owned(),
        }
    }

    /// The swatch of a Lab value against `white`.
    pub fn swatch_of(&self, lab: Lab, white: Xyz) -> Swatch {
        self.swatch(lab.to_xyz(white), white, lab)
    }
}

pub(crate) fn lab_array(lab: Lab) -> [f64; 3] {
    [lab.l, lab.a, lab.b]
}

fn material_json(material: &MaterialRef, into: &mut Map<String, Value>) {
    match material {
        MaterialRef::Library { id, source } => {
            into.insert("material".to_owned(), json!(id));
            if let Some(source) = source {
                into.insert("source".to_owned(), json!(source));
            }
        }
        MaterialRef::Inline { n, k } => {
            into.insert("material".to_owned(), json!({ "n": n, "k": k }));
        }
        MaterialRef::Table { file, .. } => {
            into.insert("material".to_owned(), json!({ "table": file }));
        }
    }
}

/// A finish as JSON with the keys of its TOML file; what is left out there is left out here.
pub fn finish_json(finish: &FinishFile) -> Value {
    let mut root = Map::new();
    root.insert("schema".to_owned(), json!(1));
    if let Some(name) = &finish.name {
        root.insert("name".to_owned(), json!(name));
    }
    if finish.medium == MediumAbove::Water {
        root.insert("medium".to_owned(), json!("water"));
    }
    let mut base = Map::new();
    material_json(&finish.base.material, &mut base);
    let texture = &finish.base.texture;
    if let Some(word) = &texture.word {
        base.insert("texture".to_owned(), json!(word));
    } else {
        for (key, value) in [("roughness_nm", texture.roughness_nm), ("slope_deg", texture.slope_deg)] {
            if value > 0.0 {
                base.insert(key.to_owned(), json!(value));
            }
        }
    }
    root.insert("base".to_owned(), Value::Object(base));
    let films: Vec<Value> = finish
        .films
        .iter()
        .map(|film| {
            let mut f = Map::new();
            material_json(&film.material, &mut f);
            f.insert("thickness_nm".to_owned(), json!(film.thickness_nm));
            let shares = [("spread", film.spread), ("porosity", film.porosity)];
            for (key, value) in std::iter::once(("thickness_sd_nm", film.thickness_sd_nm)).chain(shares) {
                if value > 0.0 {
                    f.insert(key.to_owned(), json!(value));
                }
            }
            if let Some(composition) = film.composition {
                f.insert("composition".to_owned(), json!(composition));
            }
            Value::Object(f)
        })
        .collect();
    root.insert("film".to_owned(), Value::Array(films));
    if !finish.over.is_empty() {
        let over: Vec<Value> = finish
            .over
            .iter()
            .map(|coat| {
                let mut c = Map::new();
                material_json(&coat.material, &mut c);
                c.insert("thickness_um".to_owned(), json!(coat.thickness_um));
                Value::Object(c)
            })
            .collect();
        root.insert("over".to_owned(), Value::Array(over));
    }
    Value::Object(root)
}
