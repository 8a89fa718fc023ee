//! Cross-checks: a second method, more digits, another general library, or values derived from published tables.
//!
//! They show agreement, not truth; each row of the accuracy table says which of these it is.

#![allow(
    clippy::disallowed_methods,
    reason = "a test reckons with the functions of the platform, a second opinion on libm"
)]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test stops where its data or its question is broken")]

mod anodising_time;
mod bare_metals;
mod coated;
mod colour_science;
mod constant_index_stacks;
mod deposition;
mod faces;
mod families;
mod heat_programme;
mod high_precision;
mod nitride_order;
mod nitrides;
mod reactive;
mod tables_held;
mod textbook_stacks;
mod tin_oxidation;
