//! What the three test binaries share.
//!
//! - [`accuracy`]: the recorder; each check against an expected number leaves a row, hit or miss;
//! - [`tables`]: the CSV files of this folder;
//! - [`stacks`]: films listed as `n k thickness_nm`, at one wavelength or on a grid;
//! - [`finishes`]: finishes of library materials, built without a file;
//! - [`lights`]: lights and observers on any grid;
//! - [`chance`]: the seeded numbers of the tests;
//! - [`loads`]: logs of loads whose truth is known and comes from other constants;
//! - [`plans`]: recipes as text, planned, and the library's growth laws as the routes take them;
//! - [`worst`]: the largest of many differences, and where it was met.
//!
//! Where an expected number comes from is told by its folder: `published/`, `cross/` (a second method), `laws/`
//! (nothing but the physics and the mathematics). No helper here holds an expected number.

#![allow(
    clippy::disallowed_methods,
    reason = "a test reckons with the functions of the platform, a second opinion on libm"
)]
#![allow(clippy::expect_used, reason = "test support: a missing file or column must stop the test and say which")]

#[path = "support/accuracy.rs"]
pub mod accuracy;
#[path = "support/chance.rs"]
pub mod chance;
#[path = "support/finishes.rs"]
pub mod finishes;
#[path = "support/lights.rs"]
pub mod lights;
#[path = "support/loads.rs"]
pub mod loads;
#[path = "support/plans.rs"]
pub mod plans;
#[path = "support/stacks.rs"]
pub mod stacks;
#[path = "support/tables.rs"]
pub mod tables;
#[path = "support/worst.rs"]
pub mod worst;
