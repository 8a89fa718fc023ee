//! Against published values: one module for each source, beside the folder with its CSV and README.
//!
//! A row that we miss stays and is asserted as a miss. Rows of status "common practice, no source" say so.

#![allow(
    clippy::disallowed_methods,
    reason = "a test reckons with the functions of the platform, a second opinion on libm"
)]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test stops where its data or its question is broken")]

mod anodise_facts;
mod colour_voltage;
mod css_named_colours;
mod geng;
mod heat_tint;
mod lee_jun;
mod ohtsuka;
mod plan_colours;
mod reach;
mod safety_limits;
mod sharma;
mod textbook_optics;
mod trade_rules;
mod whites;
mod worked_spectrum;
