//! The ribbon of a way: its last step through its own setting, so that the setting and its window can be drawn on it.

use super::{Axis, Ribbon, RibbonError, RibbonRequest, ribbon, volts_span};
use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use library::FinishFile;
use serde::Serialize;
use serde_json::Value;

/// A ribbon with the place of the way on it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WayRibbon {
    /// The ribbon.
    #[serde(flatten)]
    pub ribbon: Ribbon,
    /// The setting of the way, in the ribbon's unit.
    pub at: f64,
}

/// Routes that a step may take.
const ROUTES: [&str; 4] = ["anodise", "heat", "sputter", "arc"];
/// The least span of a thickness ribbon, nm: the first order of most films.
const LEAST_SPAN_NM: f64 = 120.0;

/// The ribbon of the last `step` of a way (a route with settings, as `match` gives it), which makes `finish` from
/// `start`; `None` where nothing is set. Anodising runs over the law's volts, everything else over the thickness of the outermost film.
///
/// # Errors
/// As [`ribbon`].
pub fn way_ribbon(
    engine: &Engine,
    [start, finish]: [&FinishFile; 2],
    step: &Value,
    points: usize,
    tilts_deg: &[f64],
    conditions: &Conditions,
) -> Result<Option<WayRibbon>, Fault> {
    let route = step["route"].as_str().unwrap_or("");
    if !ROUTES.contains(&route) {
        let given = if route.is_empty() { "nothing" } else { route };
        return Err(Fault::Unknown { what: "route of the step", given: given.to_owned(), known: ROUTES.join(", ") });
    }
    let Some(film) = finish.films.len().checked_sub(1) else { return Ok(None) };
    let nm = finish.films[film].thickness_nm;
    let by_thickness = (Axis::Thickness { film }, nm, 0.0, (2.0 * nm).max(LEAST_SPAN_NM));
    let (axis, at, from, to) = match (step["route"].as_str(), step["settings"]["voltage_v"].as_f64()) {
        (Some("anodise"), Some(at)) => {
            let electrolyte = step["electrolyte"].as_str().map(ToOwned::to_owned);
            match volts_span(engine, start, electrolyte.as_deref()) {
                Some([low, high]) if at < low || at > high => {
                    let what = "the bath of this step".to_owned();
                    return Err(RibbonError::OutsideLaw { what, low, high, unit: "V", given: at }.into());
                }
                Some([from, to]) => (Axis::Volts { electrolyte }, at, from, to),
                None => by_thickness,
            }
        }
        _ => by_thickness,
    };
    let mut finish = finish.clone();
    if matches!(axis, Axis::Volts { .. }) {
        // From the part as it was: the film that the way leaves would hide every lower voltage.
        finish.films[film].thickness_nm = start.films.get(film).map_or(0.0, |f| f.thickness_nm);
    }
    let request = RibbonRequest { finish, axis, from, to, points, tilts_deg: tilts_deg.to_vec() };
    Ok(Some(WayRibbon { ribbon: ribbon(engine, &request, conditions)?, at }))
}
