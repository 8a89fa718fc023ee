//! What a coater's chamber does to a film: where parts stand and turn, what the gas makes of it, how it is graded.

mod answer;
pub(crate) mod facets;
pub(crate) mod flow;
pub(crate) mod gas;
pub(crate) mod grade;
pub(crate) mod instead;
pub(crate) mod layers;
pub(crate) mod load;
pub(crate) mod order;
pub(crate) mod warmth;

pub use answer::{
    BalanceJson, ChamberJson, ChamberPicture, Control, Curve, GasJson, Jump, Layers, LoadJson, PlaceJson, ReadBackJson,
    TargetPicture, Turns, Warmth, WholeTurns, Worn,
};
