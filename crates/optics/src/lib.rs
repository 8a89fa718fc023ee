//! Reflectance of film stacks: what part of the light a finish sends back, at each wavelength, at any tilt.
//!
//! - [`Dispersion`]: refractive index from a table, a dispersion formula, or a mixture;
//! - [`stack`]: up to thousands of absorbing films on an absorbing base, stable at any thickness, with the energy balance;
//! - [`sweep`]: the closed form in the thickness of one film, on which ribbons and searches sit;
//! - [`Sample`]: a whole finish (films with spread, texture, clear coats, air or water above) to a reflectance spectrum.
//!
//! Everything that can be fitted may carry its derivatives: the functions take any [`Real`], and [`Dual`] is a number
//! with its exact partial derivatives. Forward and backward therefore run the same code.
//!
//! Conventions, once: N = n + i k with exp(+i phase), k >= 0; angles from the normal; films from the base outward;
//! wavelengths in vacuum, in nm. Media above the films are real (an absorbing medium of incidence has no reflectance).
//!
//! What it is not: it knows no colour, no process and no file. It leaves out polarised texture, scattering inside
//! films, interference in patches finer than the wavelength, and second bounces between facets.

#![cfg_attr(
    test,
    allow(
        clippy::disallowed_methods,
        reason = "a test reckons with the functions of the platform, a second opinion on libm"
    )
)]

mod coats;
mod complex;
mod directions;
mod dispersion;
mod dual;
mod error;
mod facets;
mod mixing;
mod sample;
mod scalar;
mod spread;
pub mod stack;
pub mod sweep;
mod turned;

pub use coats::{Coat, INTERFERENCE_LIMIT_UM};
pub use complex::Cx;
pub use dispersion::{Dispersion, Oscillator, Parameter};
pub use dual::Dual;
pub use error::OpticsError;
pub use facets::SPECULAR_PORT_HALF_ANGLE_DEG;
pub use mixing::bruggeman;
pub use sample::{Film, Geometry, Layer, Sample, Texture, View};
pub use scalar::Real;
pub use turned::Turned;
