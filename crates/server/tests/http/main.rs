//! The server as a browser and a program meet it: questions, records, the page, and every rule that keeps others out.

#![allow(clippy::unwrap_used, reason = "helpers of a test")]

mod asking;
mod doors;
mod links;
mod page;
mod records;
mod setting;
