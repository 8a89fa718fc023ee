//! What `correct` answers. Field names and meaning are a contract (docs/json.md).

use crate::json::Swatch;
use crate::matching::CautionJson;
use crate::provenance::Source;
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeMap;

/// Why loads came out as they did, and what next.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Correction {
    /// 1.
    pub schema: u32,
    /// Name of the log.
    pub name: String,
    /// Light and observer of all colours, in words.
    pub seen_under: String,
    /// What is wanted; `null` where the log does not say.
    pub wanted: Option<WantedJson>,
    /// The film on top, whose shutter time is corrected; `null` without a recipe.
    pub film: Option<String>,
    /// The loads in order.
    pub loads: Vec<LoadTold>,
    /// What drifts from load to load; `null` where nothing is seen to.
    pub trend: Option<Trend>,
    /// The next load; `null` where nothing can be said.
    pub next: Option<Next>,
    /// What the shop's own runs say where no recipe, or no table, stands behind them.
    pub response: Option<ResponseJson>,
    /// What to know.
    pub notes: Vec<String>,
    /// Cautions.
    pub cautions: Vec<CautionJson>,
    /// What it rests on.
    pub sources: Vec<Source>,
}

/// What is wanted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WantedJson {
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
    /// Limits of the difference on L*, a*, b*, from and to; `null` where there are none, and for an axis without one.
    pub limits: Option<[Option<[f64; 2]>; 3]>,
}

/// One load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadTold {
    /// Its name.
    pub name: String,
    /// When.
    pub date: Option<String>,
    /// What was set, unit in the key.
    pub settings: BTreeMap<&'static str, f64>,
    /// Shutter times of the lay steps, s.
    pub seconds: Vec<f64>,
    /// Keys that differ from the load before.
    pub changed: Vec<String>,
    /// What came out.
    pub witnesses: Vec<WitnessTold>,
    /// What the colours of the load should have been, from what is known of the constants after the first load.
    pub foretold: Vec<[f64; 3]>,
    /// Causes, the most probable first; empty where nothing can be compared.
    pub causes: Vec<CauseTold>,
    /// In words.
    pub verdict: String,
}

/// One witness.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WitnessTold {
    /// Where it stood.
    pub at: String,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
    /// From what is wanted (CIEDE2000).
    pub delta_e: Option<f64>,
    /// From what is wanted, axis by axis.
    pub difference: Option<[f64; 3]>,
    /// Within the limits, axis by axis.
    pub inside: Option<[bool; 3]>,
    /// Within all of them.
    pub passes: Option<bool>,
}

/// A cause.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CauseTold {
    /// `same`, or an id of data/causes.toml.
    pub id: String,
    /// In words, with its amount.
    pub words: String,
    /// How likely, among all that were compared.
    pub probability: f64,
    /// How much: logarithm of the thickness share, shift of the composition, nm of oxide.
    pub amount: f64,
    /// One standard deviation.
    pub sd: f64,
    /// What in the process makes it, what the log speaks for first.
    pub why: Vec<WhyTold>,
}

/// What in the process makes a cause.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WhyTold {
    /// What it is.
    pub words: String,
    /// One cheap check.
    pub check: String,
    /// One change.
    pub change: String,
    /// Who says so.
    pub source: String,
    /// What in the log speaks for it.
    pub for_it: Vec<String>,
}

/// A drift.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trend {
    /// `ampere_hours`, or `loads` where the hours were not kept.
    pub against: &'static str,
    /// Share of the thickness that is gained or lost for each 100 Ah, or each load.
    pub share: f64,
    /// One standard deviation.
    pub sd: f64,
    /// In words.
    pub words: String,
}

/// The next load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Next {
    /// What to set otherwise.
    pub set: Vec<Change>,
    /// What is then expected: L*, a*, b*.
    pub lab: [f64; 3],
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
    /// From what is wanted (CIEDE2000).
    pub delta_e: f64,
    /// Chance that a part in the middle passes the limits; without limits, that it comes within 5 (CIEDE2000).
    pub chance: f64,
    /// The same if the settings of the last load are kept.
    pub chance_unchanged: Option<f64>,
    /// In words.
    pub words: Vec<String>,
}

/// A setting that changes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// Step of the recipe, from 1; `null` for what the whole load shares.
    pub step: Option<usize>,
    /// Key with its unit.
    pub key: String,
    /// As it was.
    pub from: f64,
    /// As it should be.
    pub to: f64,
    /// In words.
    pub words: String,
}

/// A local response.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ResponseJson {
    /// Settings that moved between loads, with the span in which it holds.
    pub settings: BTreeMap<String, [f64; 2]>,
    /// Slopes of L*, a*, b* against each setting, and their standard deviations.
    pub slopes: Vec<Slope>,
    /// Scatter about the line on each axis.
    pub scatter: [f64; 3],
    /// Runs that it was learnt from.
    pub runs: usize,
    /// In words.
    pub words: Vec<String>,
    /// Why nothing was learnt.
    pub refused: Option<String>,
}

/// A slope.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Slope {
    /// Key with its unit.
    pub setting: String,
    /// Of L*, a*, b*, each unit.
    pub lab: [f64; 3],
    /// One standard deviation.
    pub sd: [f64; 3],
}

impl Correction {
    /// As JSON.
    pub fn json(&self) -> Value {
        serde_json::to_value(self).unwrap_or_default()
    }
}
