//! Processes that make films: settings and constants in, thickness out.
//!
//! - [`anodise`]: thickness from voltage, linear, on top of the film that is there;
//! - [`anodising`]: the same through time: [`field`] (how fast a film grows), [`cell`] (what voltage is left for it),
//!   [`bath`] (what the liquid costs), [`charge`], [`supply`] (what the meter hides), [`lifting`] (a fade);
//! - [`heat`]: parabolic oxidation through a time at a temperature; [`programme`]: through ramps, holds and cooling;
//! - [`deposit`]: sputter and arc, a film of given thickness from a rate;
//! - [`emission`]: what a small source sends where; [`face`]: a whole target, worn or not, behind what hides it;
//!   [`carousel`]: parts that turn before targets; [`turns`]: films laid turn by turn;
//! - [`reactive`]: how a reactive gas covers target and walls, and why the flow jumps; [`reactive_fit`]: the same from a
//!   shop's own loop;
//! - [`evaporation`]: zinc that leaves hot parts in vacuum.
//!
//! Each route is one module with the same shape: a law with its uncertainty, a thickness for a setting, and the setting
//! for a thickness. Randomness comes in as a [`Draw`]. A route never returns a colour and reads no file.
//!
//! What it leaves out, so far: sputtered atoms that the gas scatters; heat that the bath gains from the current; edges, where the
//! current crowds.

pub mod anodise;
pub mod anodising;
pub mod bath;
pub mod carousel;
pub mod cell;
pub mod charge;
pub mod deposit;
pub mod emission;
pub mod evaporation;
pub mod face;
pub mod field;
pub mod heat;
mod integrate;
pub mod lifting;
pub mod programme;
pub mod reactive;
pub mod reactive_fit;
pub mod supply;
pub mod turns;

/// Standard normal deviates that one run meets: what the constants really are, and what this run adds.
///
/// All zero is the nominal run. Two runs of one workshop share `constant` and differ in `run`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Draw {
    /// How far the law's constants lie from their stated values, in standard deviations.
    pub constant: [f64; 2],
    /// How far this run's setting or result strays, in standard deviations.
    pub run: f64,
    /// How far this run's composition strays, in standard deviations.
    pub run_composition: f64,
}

/// What a step made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grown {
    /// Thickness of the film after the step, nm.
    pub thickness_nm: f64,
    /// Thickness of what lies below that was turned into film by the step, nm.
    pub consumed_nm: f64,
}
