//! The order of an interference colour.

use crate::finish::Built;
use optics::{Geometry, OpticsError, Texture, View};

/// Wavelength at which orders are counted, nm (product.md).
const AT_NM: f64 = 550.0;
/// Step of the growing film, nm: far finer than the distance of two extrema.
const STEP_NM: f64 = 0.5;
/// A rise and fall smaller than a thousandth is no maximum that anyone sees: opaque films ripple on.
const NOTICEABLE: f64 = 1e-3;

/// 1 + the number of reflectance maxima at 550 nm that the outermost film passed while it grew; 1 without films.
pub(crate) fn order(built: &Built<'_>) -> Result<u32, OpticsError> {
    let mut values = built.values().clone();
    // Orders belong to the film, seen straight on, without texture or spread.
    for film in &mut values.films {
        film.spread = 0.0;
    }
    let Some(last) = values.films.last().map(|f| f.thickness_nm) else { return Ok(1) };
    let mut sample = built.sample(&values, &[AT_NM]);
    sample.texture = Texture::mirror();
    let view = View { tilt_deg: 0.0, geometry: Geometry::Included };
    let mut order = 1;
    let (mut peak, mut trough) = (f64::NEG_INFINITY, f64::INFINITY);
    let mut rising = false;
    let mut at = 0.0_f64;
    loop {
        let thickness = at.min(last);
        if let Some(film) = sample.films.last_mut() {
            film.thickness_nm = thickness;
        }
        let r = sample.reflectance(view)?[0];
        if rising {
            peak = peak.max(r);
            if r < peak - NOTICEABLE {
                order += 1;
                rising = false;
                trough = r;
            }
        } else {
            trough = trough.min(r);
            if r > trough + NOTICEABLE {
                rising = true;
                peak = r;
            }
        }
        if thickness >= last {
            return Ok(order);
        }
        at += STEP_NM;
    }
}
