//! How far a colour turns with the angle of view: some want it, some hate it.

use super::best::Best;
use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::lab_array;
use colour::{Lab, ciede2000};
use serde::Serialize;

/// Tilts that are told, degrees: every five, up to where a part seen along its surface begins.
const TILTS: u32 = 15;
const EACH_DEG: f64 = 5.0;
/// Below this chroma a colour has no hue worth the word.
const GREY: f64 = 5.0;
/// A hue that moves by less is steady, by more turns: own choice, near what one calls another hue.
const STEADY_DEG: f64 = 15.0;
const TURNS_DEG: f64 = 45.0;

/// The colour from straight on to 70 degrees.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Angle {
    /// Degrees from the normal, 0 to 70.
    pub tilt_deg: Vec<f64>,
    /// L*, a*, b* at each.
    pub lab: Vec<[f64; 3]>,
    /// `#rrggbb` at each.
    pub srgb: Vec<String>,
    /// How far the hue angle moves, degrees; `null` where the colour is grey.
    pub hue_deg: Option<f64>,
    /// Greatest difference from the colour straight on (CIEDE2000).
    pub delta_e: f64,
    /// In words.
    pub words: String,
}

/// How the colour of a way turns.
///
/// # Errors
/// As [`Eye::new`].
pub(super) fn angle(engine: &Engine, found: &Best, conditions: &Conditions) -> Result<Angle, Fault> {
    let built = engine.build(&found.finish)?;
    let tilt_deg: Vec<f64> = (0..TILTS).map(|i| EACH_DEG * f64::from(i)).collect();
    let seen = tilt_deg
        .iter()
        .map(|tilt| {
            let eye = Eye::new(engine, &Conditions { tilt_deg: *tilt, ..conditions.clone() })?;
            Ok(eye.see(&built, built.values())?)
        })
        .collect::<Result<Vec<_>, Fault>>()?;
    let labs: Vec<Lab> = seen.iter().map(|s| s.lab).collect();
    let delta_e = labs.iter().map(|lab| ciede2000(labs[0], *lab)).fold(0.0, f64::max);
    let hue_deg = hue_span(&labs);
    Ok(Angle {
        lab: labs.iter().map(|lab| lab_array(*lab)).collect(),
        srgb: seen.iter().map(|s| engine.swatch(s.xyz, s.white, s.lab).srgb).collect(),
        words: words(hue_deg, delta_e),
        tilt_deg,
        hue_deg,
        delta_e,
    })
}

/// How far the hue angle moves along a line of colours, degrees, the short way from one to the next; greys are passed over.
fn hue_span(labs: &[Lab]) -> Option<f64> {
    let hues: Vec<f64> = labs.iter().map(|lab| lab.lch()).filter(|lch| lch.c >= GREY).map(|lch| lch.h).collect();
    let mut at = *hues.first()?;
    let (mut low, mut high) = (at, at);
    for pair in hues.windows(2) {
        at += (pair[1] - pair[0] + 540.0).rem_euclid(360.0) - 180.0;
        (low, high) = (f64::min(low, at), f64::max(high, at));
    }
    Some(high - low)
}

fn words(hue_deg: Option<f64>, delta_e: f64) -> String {
    let moves = format!("the colour moves by {delta_e:.1} (CIEDE2000) at most");
    let span = "from 0 to 70 degrees of tilt";
    match hue_deg {
        None => format!("grey {span}; {moves}"),
        Some(deg) if deg < STEADY_DEG => format!("the hue holds, within {deg:.0} degrees {span}; {moves}"),
        Some(deg) if deg < TURNS_DEG => format!("the hue moves by {deg:.0} degrees {span}; {moves}"),
        Some(deg) => format!("the hue turns by {deg:.0} degrees {span}; {moves}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(hue_deg: f64, chroma: f64) -> Lab {
        let h = hue_deg.to_radians();
        Lab { l: 50.0, a: chroma * h.cos(), b: chroma * h.sin() }
    }

    #[test]
    fn a_hue_is_followed_across_zero() {
        let span = hue_span(&[at(350.0, 20.0), at(5.0, 20.0), at(20.0, 20.0), at(10.0, 20.0)]);
        assert!((span.unwrap() - 30.0).abs() < 1e-9, "{span:?}");
        assert_eq!(hue_span(&[at(10.0, 1.0), at(100.0, 1.0)]), None);
        // A grey between two hues is passed over.
        let over = hue_span(&[at(10.0, 20.0), at(200.0, 1.0), at(30.0, 20.0)]);
        assert!((over.unwrap() - 20.0).abs() < 1e-9, "{over:?}");
    }
}
