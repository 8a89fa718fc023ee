//! A wanted colour: how it was given, and how sure that is.

use crate::engine::Engine;
use crate::json::{Swatch, lab_array};
use crate::target::{Given, Target};
use colour::{Display, Lab, SRGB, adapt, ciede2000};
use serde::Serialize;

/// A wanted colour. Field names and meaning are a contract (docs/json.md).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wanted {
    /// L*, a*, b* under the light and observer of the question.
    pub lab: [f64; 3],
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
    /// As given.
    pub given: String,
    /// How it was measured or meant, in words.
    pub how: String,
    /// How far what is meant may lie from the number, CIEDE2000; `None` where nobody can tell.
    pub unsure_delta_e: Option<f64>,
    /// The same in words.
    pub unsure: String,
    /// What was assumed on the way.
    pub notes: Vec<String>,
}

/// Tells how `target` was given and how sure it is.
pub fn wanted(engine: &Engine, target: &Target) -> Wanted {
    let (how, unsure_delta_e, unsure) = match &target.kind {
        Given::Screen => {
            let step = eighth_bit(target);
            let words = format!(
                "rounding to eight bits hides {step:.1}; what a camera or an uncalibrated screen did to it is not known \
                 and is often more than 5"
            );
            ("a screen colour (sRGB, D65, 2 degrees)", Some(step), words)
        }
        Given::Word(word) => {
            let far = breadth(engine, word);
            let words = far.map_or_else(String::new, |far| {
                format!(
                    "half of the colours that bear the word lie further than {far:.1} from it; a sample or a measured \
                     colour says more"
                )
            });
            ("a trade word: the table's own choice for it", far, words)
        }
        Given::Spectrum => (
            "a measured spectrum",
            None,
            "as sure as the instrument, whose repeatability the file does not tell".to_owned(),
        ),
        Given::Lab => (
            "Lab, as given, for the light and observer in use",
            None,
            "as sure as the instrument and its geometry, which the numbers do not tell".to_owned(),
        ),
    };
    Wanted {
        lab: lab_array(target.lab),
        shown: engine.swatch_of(target.lab, target.white),
        given: target.given.clone(),
        how: how.to_owned(),
        unsure_delta_e,
        unsure,
        notes: target.notes.clone(),
    }
}

/// The greatest difference that half a step of eight bits makes, over the corners of the cell.
fn eighth_bit(target: &Target) -> f64 {
    let d65 = adapt(target.lab.to_xyz(target.white), target.white, Display::white()).to_lab(Display::white());
    let rgb = SRGB.show(d65).rgb;
    let centre = SRGB.lab(rgb);
    let half = 0.5 / 255.0;
    (0..8_u32)
        .map(|corner| {
            let moved = std::array::from_fn(|i| {
                let sign = if corner >> i & 1 == 1 { half } else { -half };
                (rgb[i] + sign).clamp(0.0, 1.0)
            });
            ciede2000(centre, SRGB.lab(moved))
        })
        .fold(0.0, f64::max)
}

/// The median difference from a word's own choice of the colours that bear it, CIEDE2000: an even grid over L*, a*, b*
/// inside sRGB.
fn breadth(engine: &Engine, word: &str) -> Option<f64> {
    const STEP: usize = 5;
    let row = engine.names().find(word)?;
    let mut far = Vec::new();
    for l in (0..=100_i32).step_by(STEP) {
        for a in (-100..=100_i32).step_by(STEP) {
            for b in (-110..=100_i32).step_by(STEP) {
                let lab = Lab { l: f64::from(l), a: f64::from(a), b: f64::from(b) };
                // What no row holds and the nearest target names is left out: under one per cent of sRGB.
                if row.holds(lab) && engine.names().name(lab) == row.name && !SRGB.show(lab).out_of_gamut {
                    far.push(ciede2000(row.target, lab));
                }
            }
        }
    }
    far.sort_by(f64::total_cmp);
    far.get(far.len() / 2).copied()
}
