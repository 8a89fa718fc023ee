//! From a reflectance spectrum to a colour: tristimulus values, Lab, differences, screens and names.
//!
//! - [`Viewing`]: a light and an observer on a grid of wavelengths; the white comes from the same sums as the sample;
//! - [`Lab`], [`Xyz`], [`ciede2000`]: CIE 015:2018 and ISO/CIE 11664-6;
//! - [`adapt`]: from one white to another (Bradford);
//! - [`Display`]: sRGB and Display P3, out-of-gamut colours flagged and reduced in chroma at constant hue and lightness;
//! - [`Names`]: trade words from a table.
//!
//! Scales: white has Y = 100; reflectance is 0..=1; display values are 0..=1.
//!
//! What it is not: it knows no film, no process and no file, and no appearance beyond CIELAB.

mod adaptation;
mod difference;
mod display;
mod lab;
mod names;
mod table;
mod viewing;

pub use adaptation::adapt;
pub use difference::ciede2000;
pub use display::{DISPLAY_P3, Display, DisplayColour, SRGB};
pub use lab::{Lab, Lch, Xyz};
pub use names::{Name, Names};
pub use table::SpectralTable;
pub use viewing::{Viewing, ViewingError};
