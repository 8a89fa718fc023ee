//! The answer of a gamut. Field names and meaning are a contract (docs/json.md).

use crate::json::Swatch;
use crate::matching::{CautionJson, TargetJson};
use serde::Serialize;
use serde_json::Value;

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Gamut {
    /// 1.
    pub schema: u32,
    /// What was wanted; `null` when nothing was.
    pub target: Option<TargetJson>,
    /// Side of a cell, in units of a* and b*.
    pub cell: f64,
    /// Every way that `match` would search, then those that are ruled out.
    pub ways: Vec<Reached>,
    /// Ways of one kind taken together, the widest first.
    pub kinds: Vec<Kind>,
    /// What to know beside the numbers.
    pub notes: Vec<String>,
}

/// What one way reaches.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Reached {
    /// The way in words.
    pub title: String,
    /// The title of its kind; `null` when it is ruled out.
    pub kind: Option<String>,
    /// Why it is ruled out; empty when it reaches anything.
    pub why_not: Vec<String>,
    /// The part before: its finish.
    pub start: Value,
    /// Routes in order, with `route`, `machine` and `film`, without settings.
    pub steps: Vec<Value>,
    /// The line of colours, where one number alone is turned; else `null`.
    pub curve: Option<Curve>,
    /// Squares of the a*, b* plane that are reached.
    pub cells: Vec<Cell>,
    /// What the cells cover, in squared units of a* and b*.
    pub area: f64,
    /// For each sector of hue, from 0 in steps of 10 degrees, the most vivid colour; `null` where no colour of chroma 10
    /// is reached.
    pub hues: Vec<Option<HueReach>>,
    /// The most vivid colour of all; `null` when nothing can be set.
    pub most_vivid: Option<Spot>,
    /// Trade words that are reached.
    pub names: Vec<String>,
    /// The nearest colour to the wanted one, as `match` finds it; `null` when nothing was wanted.
    pub nearest: Option<Spot>,
    /// The most vivid colour within 10 degrees of the wanted hue and 10 of the wanted L*; `null` where there is none, or
    /// nothing was wanted.
    pub most_vivid_at_hue: Option<Spot>,
    /// Why it is no more vivid, in plain words made from computed numbers.
    pub reasons: Vec<String>,
    /// What the settings rest on, and how far sources disagree.
    pub notes: Vec<String>,
    /// Ids whose numbers stand in for a table that is missing.
    pub stand_ins: Vec<String>,
    /// Cautions for the settings that are told here.
    pub cautions: Vec<CautionJson>,
}

/// The colours that pass while the one number of a way is turned.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Curve {
    /// Key of the setting: `voltage_v`, `temperature_c`, `thickness_nm`.
    pub setting: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// In order of the thickness that the step makes; neighbours differ by at most 2 (CIEDE2000) and 2 units of
    /// a* and b*, or by 0.1 nm.
    pub points: Vec<CurvePoint>,
}

/// One colour of a curve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CurvePoint {
    /// The setting.
    pub value: f64,
    /// All settings of the step: heat has two.
    pub settings: Value,
    /// Thickness that the step makes, nm.
    pub thickness_nm: f64,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// `#rrggbb`.
    pub srgb: String,
    /// Trade word.
    pub name: String,
}

/// A reached square of the a*, b* plane.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cell {
    /// a* of its middle.
    pub a: f64,
    /// b* of its middle.
    pub b: f64,
    /// Least and greatest L* reached in it.
    pub lightness: [f64; 2],
    /// `#rrggbb` of the darkest and the lightest colour reached in it.
    pub srgb: [String; 2],
}

/// The most vivid colour of a sector of hue.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HueReach {
    /// The colour and how it is made.
    #[serde(flatten)]
    pub spot: Spot,
    /// Least and greatest L* among colours of chroma 10 and more in the sector.
    pub lightness: [f64; 2],
}

/// A colour that is reached, and how.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Spot {
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// C*.
    pub chroma: f64,
    /// Hue angle, degrees.
    pub hue_deg: f64,
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
    /// Difference from the wanted colour (CIEDE2000); `null` when nothing was wanted.
    pub delta_e: Option<f64>,
    /// Routes with settings, as `match` gives them.
    pub steps: Vec<Value>,
    /// What it is made of.
    pub finish: Value,
}

/// Ways of one kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Kind {
    /// In words, such as `anodise titanium`.
    pub title: String,
    /// Numbers of its ways in `ways`, 0 first.
    pub ways: Vec<usize>,
    /// What the cells of all its ways cover together, in squared units of a* and b*.
    pub area: f64,
    /// Which way holds the most vivid colour.
    pub most_vivid_way: usize,
    /// For each sector of hue, which way is the most vivid there; `null` where none has a colour of chroma 10.
    pub hues: Vec<Option<usize>>,
    /// For each sector of hue, least and greatest L* at chroma 10 and more; `null` as above.
    pub lightness: Vec<Option<[f64; 2]>>,
    /// Sectors of hue without a colour of chroma 10, joined: from and to, degrees; to may pass 360.
    pub gaps_deg: Vec<[f64; 2]>,
    /// Trade words that none of its ways reaches.
    pub names_missing: Vec<String>,
}
