//! Quantities as people write them.
//!
//! A setting is a bare number in the field's unit, or text with a unit (`"68 F"`, `"2 in"`, `"Ra 8 uin"`).
//! A unit is never guessed: text with an unknown unit, or with one of another kind, is an error.
//! Each input has one row in the table of limits ([`LIMITS`]): its unit, its words, its range and why.
//! Checks, messages and (later) slider ends and random test values come from that row.
//!
//! What it is not: a system of dimensional analysis. Inside the program a number carries its unit in its name.

mod limits;
mod text;
mod unit;

pub use limits::{LIMITS, Limit, limit};
pub use text::{QuantityError, Written, parse};
pub use unit::{Dimension, UNITS, Unit, unit};
