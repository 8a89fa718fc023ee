//! Laws: what must hold whatever the numbers are. Energy, reciprocity, limits, symmetry, round trips, derivatives,
//! averages, a search that no grid beats, and what every data file owes.
//!
//! Random inputs are seeded, so that a failure comes back; more of them with PROPTEST_CASES.

#![allow(
    clippy::disallowed_methods,
    reason = "a test reckons with the functions of the platform, a second opinion on libm"
)]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test stops where its data or its question is broken")]

mod architecture;
mod benches;
mod chamber;
mod chamber_gas;
mod chamber_plan;
mod coats;
mod colours;
mod correct;
mod correct_hostile;
mod derivatives;
mod dispersion;
mod displays;
mod documents;
mod energy;
mod facets;
mod gamut;
mod gauges;
mod geometry;
mod library_data;
mod limits;
mod mixing;
mod names;
mod parts;
mod plan;
mod plan_beside;
mod plan_fade;
mod plan_limits;
mod plan_misses;
mod plan_refusals;
mod plan_time;
mod random;
mod reactive;
mod response;
mod search;
mod search_two;
mod spread;
mod sweep;
mod turned;
