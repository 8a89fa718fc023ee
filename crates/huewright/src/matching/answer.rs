//! The answer of a match. Field names and meaning are a contract (docs/json.md).

use super::angle::Angle;
use super::preparing::Advised;
use super::step::Step;
use super::windows::Window;
use crate::json::Swatch;
use crate::plan::Choice;
use library::{Caution, FinishFile};
use serde::Serialize;
use serde_json::Value;

/// The answer. Field names and meaning are a contract (docs/json.md).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Match {
    /// 1.
    pub schema: u32,
    /// What was wanted.
    pub target: TargetJson,
    /// Feasible ways, the likeliest first, then those that cannot be done.
    pub ways: Vec<Way>,
    /// What may be done with a part that already bears a film (`--from`); else empty.
    pub options: Vec<Choice>,
    /// What to know beside the numbers.
    pub notes: Vec<String>,
}

/// What was wanted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TargetJson {
    /// L*, a*, b* under the light and observer of the question.
    pub lab: [f64; 3],
    /// As given.
    pub given: String,
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
}

/// One way.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Way {
    /// Whether an allowed setting comes within a difference of 5.
    pub feasible: bool,
    /// What is done to what, such as `titanium: anodise in jar 1 (bench supply)`.
    pub title: String,
    /// What is set, in words, such as `24.1 V`.
    pub set: String,
    /// If not, why, in plain words.
    pub why_not: Vec<String>,
    /// The part before: its finish.
    pub start: Value,
    /// Routes with settings, in order.
    pub steps: Vec<Value>,
    /// What is advised before the first route.
    pub preparation: Vec<Advised>,
    /// What comes out, nominally; `null` when nothing can be set.
    pub finish: Value,
    /// L*, a*, b* of that; `null` when nothing can be set.
    pub lab: Option<[f64; 3]>,
    /// `#rrggbb`.
    pub srgb: Option<String>,
    /// Whether sRGB cannot show it.
    pub srgb_out_of_gamut: bool,
    /// Encoded red, green, blue (0..=1) for Display P3.
    pub display_p3: Option<[f64; 3]>,
    /// Whether Display P3 cannot show it.
    pub display_p3_out_of_gamut: bool,
    /// Trade word.
    pub name: Option<String>,
    /// Nominal difference from the target (CIEDE2000).
    pub delta_e: Option<f64>,
    /// Mean difference over what constants and runs may be.
    pub expected_delta_e: Option<f64>,
    /// Chance that a run comes within 5 of the target.
    pub chance: Option<f64>,
    /// Chance that two runs both land, and come within 2 of one another.
    pub chance_alike: Option<f64>,
    /// Chance that two runs come within 2 of one another, wherever they land.
    pub chance_match: Option<f64>,
    /// Share of runs that bear the trade word of the target.
    pub chance_of_name: Option<f64>,
    /// Spans of the settings inside which the colour holds.
    pub windows: Vec<Window>,
    /// How the colour moves with tilt.
    pub drift: Vec<Drift>,
    /// How far it turns from straight on to 70 degrees; `null` unless feasible.
    pub angle: Option<Angle>,
    /// What else may come out: word and share of runs.
    pub may_also_be: Vec<Also>,
    /// The same film in other orders that come within 5: settings and chance.
    pub other_orders: Vec<OtherOrder>,
    /// What the settings rest on, and how far sources disagree.
    pub notes: Vec<String>,
    /// Ids whose numbers stand in for a table that is missing.
    pub stand_ins: Vec<String>,
    /// Cautions for these steps.
    pub cautions: Vec<CautionJson>,
    /// The recipe file of a feasible way, TOML.
    pub recipe: Option<String>,
    /// `finish` as a value, for callers that go on with it; not part of the JSON.
    #[serde(skip)]
    pub made: Option<FinishFile>,
    /// The machines of the steps as tables of a workshop file; not part of the JSON.
    #[serde(skip)]
    pub(crate) machines: String,
    /// The first step, until its preparation is told; not part of the JSON.
    #[serde(skip)]
    pub(crate) first: Option<Step>,
    /// `start` as a value; not part of the JSON.
    #[serde(skip)]
    pub made_from: Option<FinishFile>,
}

/// The same way in another order of the interference.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OtherOrder {
    /// Routes with settings.
    pub steps: Vec<Value>,
    /// What is set, in words.
    pub set: String,
    /// L*, a*, b*.
    pub lab: Option<[f64; 3]>,
    /// Nominal difference from the target (CIEDE2000).
    pub delta_e: Option<f64>,
    /// Chance that a run lands.
    pub chance: f64,
    /// Chance that two runs land alike.
    pub chance_alike: f64,
}

/// The colour at a tilt.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drift {
    /// Degrees.
    pub tilt_deg: f64,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
    /// Difference from the colour seen straight on.
    pub delta_e: f64,
}

/// Another colour that may come out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Also {
    /// Trade word.
    pub name: String,
    /// Share of runs.
    pub share: f64,
}

/// A caution.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CautionJson {
    /// Its id.
    pub id: String,
    /// What to know.
    pub text: String,
    /// Where it comes from.
    pub source: String,
}

impl From<&Caution> for CautionJson {
    fn from(caution: &Caution) -> Self {
        Self { id: caution.id.clone(), text: caution.text.clone(), source: caution.source.clone() }
    }
}
