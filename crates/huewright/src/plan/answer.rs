//! The answer of a plan. Field names and meaning are a contract (docs/json.md).

use crate::chamber::ChamberJson;
use crate::json::Swatch;
use crate::limits::LimitsJson;
use crate::matching::{Also, CautionJson};
use crate::provenance::Source;
use serde::Serialize;
use serde_json::Value;

/// What happens, step by step, and what to do.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// 1.
    pub schema: u32,
    /// Name of the recipe.
    pub name: String,
    /// Whether every step can be done as written.
    pub feasible: bool,
    /// If not: which step, which limit, and the nearest that works.
    pub why_not: Vec<WhyNot>,
    /// The part before.
    pub start: Seen,
    /// Its area, where the part is given.
    pub part: Option<PartSize>,
    /// The steps in order, up to the one that cannot be done, which is not told.
    pub steps: Vec<StepPlan>,
    /// What each area of the part becomes.
    pub areas: Vec<AreaPlan>,
    /// What makes two pieces alike.
    pub alike: Alike,
    /// What else may be done with a part that already bears a film.
    pub options: Vec<Choice>,
    /// Cautions of all steps, each once.
    pub cautions: Vec<CautionJson>,
    /// What to know beside the numbers.
    pub notes: Vec<String>,
    /// What it rests on.
    pub sources: Vec<Source>,
    /// Steps that were proposed, as lines of a recipe file; `null` where the recipe has its own.
    pub proposed: Option<String>,
}

/// A limit that the recipe breaks.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WhyNot {
    /// Which step, from 1.
    pub step: usize,
    /// `supply`, `bath`, `law`, `oven`, `coater`, `gas`, `metal`, `order`, `fade`, `licence`.
    pub limit: &'static str,
    /// In words.
    pub words: String,
    /// The nearest that works, as a line of the recipe or in words; `null` when nothing near does.
    pub nearest: Option<String>,
}

/// A finish and its colour.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Seen {
    /// With the keys of a finish file.
    pub finish: Value,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
}

/// The part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartSize {
    /// Of all alike together, cm2.
    pub area_cm2: f64,
    /// Of one, cm2.
    pub one_cm2: f64,
    /// How many alike.
    pub count: u32,
    /// How it was reckoned.
    pub how: String,
}

/// A setting.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Set {
    /// Key with its unit.
    pub key: String,
    /// Value.
    pub value: f64,
    /// In words.
    pub words: String,
    /// Whether this is the setting to hold tightest.
    pub tightest: bool,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StepPlan {
    /// From 1.
    pub number: usize,
    /// `route` or `preparation`.
    pub kind: &'static str,
    /// `anodise`, `heat`, `sputter`, `arc`, or the preparation's id.
    pub route: String,
    /// In words.
    pub title: String,
    /// Areas that it reaches.
    pub areas: Vec<String>,
    /// What is set.
    pub set: Vec<Set>,
    /// What to do, in order.
    #[serde(rename = "do")]
    pub todo: Vec<String>,
    /// What to watch.
    pub watch: Vec<String>,
    /// When to stop.
    pub stop: Option<String>,
    /// How long it takes, s; `null`: by hand.
    pub seconds: Option<f64>,
    /// Cautions, to be read before.
    pub cautions: Vec<CautionJson>,
    /// What to know.
    pub notes: Vec<String>,
    /// Through time.
    pub trace: Option<Trace>,
    /// Colours in the order in which they show.
    pub passed: Vec<Passed>,
    /// How a fade is lifted.
    pub lift: Option<Lift>,
    /// What the supply must give.
    pub sizing: Option<Sizing>,
    /// How long the wanted colour lasts.
    pub lasts: Option<Lasts>,
    /// What the chamber of a coater does.
    pub chamber: Option<ChamberJson>,
}

/// Columns of one length against time.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Trace {
    /// s.
    pub time_s: Vec<f64>,
    /// V at the terminals: as set, or less while the supply gives all it can.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub voltage_v: Vec<f64>,
    /// A.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub current_a: Vec<f64>,
    /// C since the start.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub charge_c: Vec<f64>,
    /// C.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub temperature_c: Vec<f64>,
    /// Of the outermost film, nm.
    pub thickness_nm: Vec<f64>,
    /// Colour in air, `#rrggbb`.
    pub dry: Vec<String>,
    /// Colour under water, `#rrggbb`; of a bath alone.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wet: Vec<String>,
    /// Trade word in air.
    pub name: Vec<String>,
}

/// A colour that is passed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Passed {
    /// Trade word.
    pub name: String,
    /// s.
    pub from_s: f64,
    /// s.
    pub to_s: f64,
    /// `#rrggbb` in its middle.
    pub srgb: String,
}

/// How a fade is lifted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lift {
    /// How far, mm.
    pub length_mm: f64,
    /// mm/s.
    pub speed_mm_per_s: f64,
    /// s, without what comes before.
    pub seconds: f64,
    /// s that the part hangs still at the first voltage.
    pub before_s: f64,
    /// Places, mm out of the bath.
    pub at_mm: Vec<f64>,
    /// V at each.
    pub voltage_v: Vec<f64>,
    /// For lifting by hand.
    pub beats: Vec<BeatJson>,
    /// In words.
    pub words: Vec<String>,
    /// Trade words along the part, from the end that leaves first.
    pub passes: Vec<String>,
}

/// A beat.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BeatJson {
    /// s after the lifting began.
    pub second: f64,
    /// mm out.
    pub lift_mm: f64,
    /// V.
    pub voltage_v: f64,
}

/// What the supply must give.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sizing {
    /// Under the liquid, cm2.
    pub area_cm2: f64,
    /// Greatest current, A.
    pub peak_current_a: f64,
    /// What the supply gives, A, if named.
    pub supply_current_a: Option<f64>,
    /// C.
    pub charge_c: f64,
    /// At the cathode, mL at 25 C and 1 atm.
    pub hydrogen_ml: f64,
    /// From the supply, J, at most.
    pub energy_j: f64,
    /// Parts alike that this supply can do at once within ten minutes; `null` when no current is named.
    pub most_parts: Option<u32>,
    /// In words.
    pub words: Vec<String>,
}

/// How long the wanted colour lasts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lasts {
    /// s at the temperature of the hold.
    pub seconds: f64,
    /// In words.
    pub words: String,
}

/// A median and the span that holds 90 of 100.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// Half lie below.
    pub median: f64,
    /// 5 of 100 lie below.
    pub low: f64,
    /// 5 of 100 lie above.
    pub high: f64,
}

/// Several pieces that are to match.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SetOfPieces {
    /// How many were reckoned with.
    pub pieces: u32,
    /// Chance that each matches each within 2 (CIEDE2000).
    pub chance_match: f64,
}

/// A wanted colour.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WantedColour {
    /// As given.
    pub given: String,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
}

/// What an area becomes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AreaPlan {
    /// Its name; `name` is the trade word of its colour.
    #[serde(rename = "area")]
    pub name: String,
    /// Of the part's area.
    pub share: f64,
    /// What was wanted.
    pub wanted: Option<WantedColour>,
    /// Finish and colour; of a fade, those of its middle.
    #[serde(flatten)]
    pub made: Seen,
    /// Of the outermost film as planned, nm; of a graded one all its slices.
    pub planned_nm: Option<f64>,
    /// Of the outermost film, nm.
    pub thickness_nm: Option<Band>,
    /// Nominal difference from what was wanted, or `null`.
    pub delta_e: Option<f64>,
    /// Difference of runs: from what was wanted, else from the nominal colour.
    pub delta_e_of_runs: Option<Band>,
    /// Chance that a run comes within 5 of it.
    pub chance: Option<f64>,
    /// Chance that a run bears the trade word that was asked for; `null` when none was.
    pub chance_of_name: Option<f64>,
    /// Chance that two pieces come within 2 of one another, wherever they land; `null` where no scatter of a machine is
    /// known.
    pub chance_match: Option<f64>,
    /// Chance that two pieces land and match.
    pub chance_alike: Option<f64>,
    /// Chance that all parts alike match one another, where there are more than two.
    pub set: Option<SetOfPieces>,
    /// What else may come out.
    pub may_also_be: Vec<Also>,
    /// Of a fade: place by place.
    pub along: Option<Vec<Along>>,
    /// Limits of each axis, judged; `null` where none are given.
    pub limits: Option<LimitsJson>,
}

/// A place along a fade.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Along {
    /// 0: the end that leaves the bath first, or the first of the gradient; 100: the last.
    pub at: f64,
    /// nm.
    pub thickness_nm: f64,
    /// V at which it left, of a lifted fade.
    pub voltage_v: Option<f64>,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
    /// What was wanted here.
    pub wanted: Option<WantedColour>,
    /// Nominal difference from it.
    pub delta_e: Option<f64>,
    /// Chance to come within 5 of it.
    pub chance: Option<f64>,
}

/// What makes two pieces alike.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Alike {
    /// In words.
    pub words: Vec<String>,
    /// Settings, the one to hold tightest first.
    pub hold: Vec<Hold>,
    /// How far one unit of the turned setting moves each colour on the way; the most forgiving first.
    pub by_colour: Vec<Forgiving>,
    /// How a piece of this recipe stands beside one of another; `null` unless asked.
    pub beside: Option<Beside>,
}

/// A piece of another recipe beside one of this; the first area of each.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Beside {
    /// Name of the other recipe.
    pub name: String,
    /// Whether each step of it can be done.
    pub feasible: bool,
    /// What it becomes.
    #[serde(flatten)]
    pub made: SeenBeside,
    /// Nominal difference between the two (CIEDE2000).
    pub delta_e: f64,
    /// Chance that a piece of each come within 2 of one another; `null` where no scatter of a machine is known.
    pub chance_match: Option<f64>,
}

/// A colour under names that do not clash.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeenBeside {
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// `#rrggbb`.
    pub srgb: String,
    /// Trade word.
    pub word: String,
}

/// How much a setting matters here.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hold {
    /// Which step, from 1.
    pub step: usize,
    /// Key with its unit.
    pub setting: String,
    /// Difference (CIEDE2000) that one unit makes.
    pub delta_e_per_unit: f64,
    /// The unit.
    pub unit: &'static str,
    /// Difference that one standard deviation of the machine makes.
    pub scatter_delta_e: f64,
    /// In words.
    pub words: String,
}

/// How forgiving a colour is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Forgiving {
    /// Trade word.
    pub name: String,
    /// Difference (CIEDE2000) for one unit of the setting, mean over the colour's span.
    pub delta_e_per_unit: f64,
    /// The unit.
    pub unit: &'static str,
}

/// Something else that may be done.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// `go up`, `heat on`, `coat over`, `strip`, `accept`.
    pub kind: &'static str,
    /// In words.
    pub words: String,
    /// Nominal difference from what is wanted, where it is known.
    pub delta_e: Option<f64>,
}
