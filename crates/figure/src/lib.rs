//! Charts and swatches: to SVG, and from SVG to PNG.
//!
//! - [`RibbonFigure`]: the strip of colours that pass while a setting rises, a row for each tilt;
//! - [`SpectrumFigure`]: reflectance against wavelength;
//! - [`BoardFigure`]: wanted and promised colours side by side;
//! - [`GamutFigure`]: what each kind of way reaches, in a* and b*, and by hue;
//! - [`ChamberFigure`]: a coater's chamber: from above, its reactive gas, the film as it grows, the load;
//! - [`LoadsFigure`]: loads of a coater, what explains them, what to set next;
//! - `png` (feature `png`): any SVG made here as pixels (text in an embedded font, so that it looks alike everywhere).
//!
//! Every figure carries a title, a text summary, units on its axis and a caption. Colours come in ready for sRGB.
//! What it is not: it knows no physics, no file and no clock. Same input, same text.

mod axes;
mod board;
mod chamber;
mod gamut;
mod loads;
#[cfg(feature = "png")]
mod picture;
mod ribbon;
mod spectrum;
mod text;

pub use board::{BoardFigure, Card};
pub use chamber::{Above, ChamberFigure, FlowCurve, Growth, PlaceColumn, PlaceMark, TargetMark};
pub use gamut::{GamutFigure, Patch, Region, Sector, Wanted};
pub use loads::{CauseBar, LoadColumn, LoadsFigure, NextMark, WitnessMark};
#[cfg(feature = "png")]
pub use picture::{PictureError, png};
pub use ribbon::{Band, Mark, RibbonFigure, Strip};
pub use spectrum::SpectrumFigure;
