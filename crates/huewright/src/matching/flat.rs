//! Colours of ways: the true one, and the flat one that leads a search where texture and spread make each colour dear.

use crate::engine::Engine;
use crate::finish::{Eye, Values};
use colour::Lab;
use library::FinishFile;

/// Lab of a finish; `None` when the optics refuses it (a roughness out of range is reported before any search).
pub(crate) fn lab_of(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Option<Lab> {
    let built = engine.build(finish).ok()?;
    eye.lab(&built, built.values()).ok()
}

/// Lab of the same finish, flat and even: without texture and spread, which cost a hundred times as much.
pub(crate) fn flat_lab(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Option<Lab> {
    let built = engine.build(finish).ok()?;
    let mut values = built.values().clone();
    flatten(&mut values);
    eye.lab(&built, &values).ok()
}

/// Takes texture and spread away.
pub(crate) fn flatten(values: &mut Values<f64>) {
    values.slope_deg = 0.0;
    for film in &mut values.films {
        film.spread = 0.0;
    }
}

/// What texture and spread do to the colour of `finish`. Near it, a flat colour plus this stands for the true one.
pub(crate) fn unevenness(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Lab {
    match (lab_of(engine, eye, finish), flat_lab(engine, eye, finish)) {
        (Some(true_lab), Some(flat)) => Lab { l: true_lab.l - flat.l, a: true_lab.a - flat.a, b: true_lab.b - flat.b },
        _ => Lab { l: 0.0, a: 0.0, b: 0.0 },
    }
}

/// A flat colour with what texture and spread add.
pub(crate) fn shifted(flat: Lab, by: Lab) -> Lab {
    Lab { l: flat.l + by.l, a: flat.a + by.a, b: flat.b + by.b }
}

/// Whether a finish has neither texture nor spread.
pub(crate) fn is_flat(finish: &FinishFile) -> bool {
    finish.base.texture.slope_deg <= 0.0 && finish.films.iter().all(|f| f.spread <= 0.0)
}
