//! What colour is this finish?

use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::{Swatch, lab_array};
use crate::order::order;
use crate::provenance::Source;
use library::FinishFile;
use serde::Serialize;

/// The colour of a finish. Field names and meaning are a contract (docs/json.md).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Look {
    /// 1.
    pub schema: u32,
    /// L*, a*, b* against the light's own white.
    pub lab: [f64; 3],
    /// X, Y, Z, scaled to white Y = 100.
    pub xyz: [f64; 3],
    /// Ready for screens, after adaptation to D65, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
    /// 1 + reflectance maxima at 550 nm that the outermost film passed.
    pub order: u32,
    /// On the 5 nm grid.
    pub spectrum: Spectrum,
    /// What to know beside the numbers.
    pub notes: Vec<String>,
}

/// Reflectance against wavelength.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spectrum {
    /// nm.
    pub wavelength_nm: Vec<f64>,
    /// 0..=1.
    pub reflectance: Vec<f64>,
}

/// The colour of `finish` under `conditions`.
///
/// # Errors
/// [`Fault`] for unknown materials, lights and observers, and for tilt or roughness out of range.
pub fn look(engine: &Engine, finish: &FinishFile, conditions: &Conditions) -> Result<Look, Fault> {
    let eye = Eye::new(engine, conditions)?;
    let built = engine.build(finish)?;
    let seen = eye.see(&built, built.values())?;
    let swatch = engine.swatch(seen.xyz, seen.white, seen.lab);
    let mut notes = engine.notes(finish);
    notes.extend(engine.light_note(conditions));
    if swatch.srgb_out_of_gamut {
        notes.push("the colour is outside sRGB: the swatch has less chroma at the same lightness and hue".to_owned());
    }
    Ok(Look {
        schema: 1,
        lab: lab_array(seen.lab),
        xyz: [seen.xyz.x, seen.xyz.y, seen.xyz.z],
        shown: swatch,
        order: order(&built)?,
        spectrum: Spectrum { wavelength_nm: engine.grid().to_vec(), reflectance: seen.reflectance },
        notes,
    })
}

/// What the colour rests on.
pub fn why(engine: &Engine, finish: &FinishFile, conditions: &Conditions) -> Vec<Source> {
    engine.sources(finish, conditions)
}
