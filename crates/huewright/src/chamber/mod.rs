//! What a coater's chamber does to a film: where parts stand and turn, what the gas makes of it, how it is graded.

pub(crate) mod grade;
