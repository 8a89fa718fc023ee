//! Figures to files.

use crate::outcome::Failure;
use std::path::Path;

/// Pixels to a unit of a figure.
const SCALE: f32 = 1.5;

pub(crate) fn to_png(svg: &str) -> Result<Vec<u8>, Failure> {
    figure::png(svg, SCALE).map_err(|e| Failure::Words(e.to_string()))
}

/// Writes SVG, or PNG when the name ends so.
pub(crate) fn write(path: &Path, svg: &str) -> Result<(), Failure> {
    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default();
    if !["svg", "png"].contains(&ending.as_str()) {
        return Err(Failure::Words(format!("{}: a picture ends in .svg or .png", path.display())));
    }
    if ending == "png" { crate::input::write(path, &to_png(svg)?) } else { crate::input::write(path, svg.as_bytes()) }
}
