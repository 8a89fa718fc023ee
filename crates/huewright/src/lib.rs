//! Huewright, one module for each question that a colourer asks.
//!
//! - [`look`]: what colour is this finish?
//! - [`ribbon`]: how does the colour move as I turn the setting?
//! - [`matching`]: which of my routes give this colour, with which settings, how sure?
//! - [`wanted`]: how a wanted colour was given, and how sure it is;
//! - [`part`]: how much surface has this part?
//! - [`plan`]: exactly what happens in a recipe, minute by minute, and what do I do?
//! - [`correct`]: why did a load miss, and what next?
//! - [`response`]: what do the shop's own runs say where no table exists?
//! - [`chamber`]: what does a coater's chamber do to a film (told by `plan`)?
//! - [`gamut`]: why is mine less vivid; what can each route reach at all?
//! - [`limits`]: is every axis of a colour within what the customer allows, in every place?
//! - [`materials`]: what is in the library, from whom, and how far do the tables disagree?
//!
//! An [`Engine`] holds the library; questions take it together with a request and give an answer whose JSON is the
//! contract of `docs/json.md`, made here and nowhere else. Forward and backward use one path: whatever searches or fits
//! calls [`finish::Built`], as `look` does.
//!
//! What it is not: it knows no terminal, no HTTP, no database and no disk.

#![cfg_attr(
    test,
    allow(
        clippy::disallowed_methods,
        reason = "a test reckons with the functions of the platform, a second opinion on libm"
    )
)]

mod catalogue;
pub mod chamber;
mod cores;
pub mod correct;
mod engine;
mod error;
pub mod finish;
pub mod gamut;
mod json;
pub mod limits;
pub mod look;
pub mod matching;
pub mod materials;
mod order;
pub mod part;
pub mod plan;
mod provenance;
pub mod response;
pub mod ribbon;
pub mod search;
mod target;
pub mod wanted;

pub use engine::{Conditions, Engine, Light};
pub use error::Fault;
pub use json::{Swatch, finish_json};
pub use optics::Geometry;
pub use provenance::Source;
pub use target::{Given, Target, TargetError, parse_target};
