//! What a plan tells of a chamber. Field names and meaning are a contract (docs/json.md).

use crate::json::Swatch;
use serde::Serialize;

/// What a coater's chamber does to the film of one step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChamberJson {
    /// How well the thickness is held.
    pub control: Control,
    /// Turns of the table while the film grows; `null` where the load does not turn or no rate is known.
    pub turns: Option<Turns>,
    /// Thickness over places in the load and on the part; `null` where the coater says nothing of its load.
    pub load: Option<LoadJson>,
    /// What the reactive gas does; `null` where the coater has no reading of it.
    pub gas: Option<GasJson>,
    /// The colour while the film grows.
    pub layers: Layers,
    /// What the warmth does; `null` where no temperature is known.
    pub temperature: Option<Warmth>,
}

/// How well the thickness is held.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Control {
    /// The machine's own, as a share of the thickness; one standard deviation.
    pub repeatability: f64,
    /// What the shutter's time strays by, as thickness, nm.
    pub shutter_nm: Option<f64>,
    /// What a broken turn leaves between parts, as thickness, nm.
    pub turn_nm: Option<f64>,
    /// All together, nm.
    pub sd_nm: f64,
    /// Thinnest film that the shop lays, nm.
    pub thinnest_nm: f64,
    /// Thinnest film whose shutter and turns stray by a tenth of it at most, nm.
    pub thinnest_controlled_nm: Option<f64>,
    /// In words.
    pub words: Vec<String>,
}

/// Turns of the table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Turns {
    /// Turns a minute.
    pub rpm: f64,
    /// How many while the shutter is open.
    pub count: f64,
    /// What one turn lays, nm.
    pub layer_nm: f64,
    /// The nearest whole numbers of turns, and their thickness.
    pub whole: Vec<WholeTurns>,
    /// Greatest difference between parts that a broken turn leaves, nm.
    pub spread_nm: f64,
    /// Whether whole turns leave less.
    pub helps: bool,
    /// In words.
    pub words: Vec<String>,
}

/// So many whole turns.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WholeTurns {
    /// How many.
    pub turns: f64,
    /// What they lay, nm.
    pub thickness_nm: f64,
    /// How long they take, s.
    pub seconds: f64,
}

/// A place in the load or on the part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlaceJson {
    /// Its name.
    #[serde(rename = "at")]
    pub name: String,
    /// Above the middle of the load, mm; `null` for a place on the part.
    pub height_mm: Option<f64>,
    /// Rate there over that of the place that the rate is told for.
    pub share: f64,
    /// nm.
    pub thickness_nm: f64,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// Ready for screens, with the trade word.
    #[serde(flatten)]
    pub shown: Swatch,
    /// From the colour of the place that the rate is told for (CIEDE2000).
    pub delta_e: f64,
}

/// Thickness over the load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadJson {
    /// 0 still, 1 table, 2 satellites, 3 pins.
    pub rotation: u8,
    /// Places in the load, front of the part.
    pub positions: Vec<PlaceJson>,
    /// Places on a part in the middle of the load.
    pub facets: Vec<PlaceJson>,
    /// The same load under targets in another state of wear.
    pub worn: Worn,
    /// Seen from above.
    pub picture: ChamberPicture,
    /// In words.
    pub words: Vec<String>,
}

/// Targets in another state of wear than those of the workshop file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Worn {
    /// Depth of the track, mm.
    pub groove_mm: f64,
    /// Rate in the middle over the rate now, for as much sputtered off the target.
    pub share: f64,
    /// Places in the load.
    pub positions: Vec<PlaceJson>,
}

/// The chamber from above; x and y in mm from the axis of the table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChamberPicture {
    /// Radius of the table's outermost parts or satellites.
    pub table_mm: f64,
    /// Radius of a satellite, 0 without.
    pub satellite_mm: f64,
    /// Axes of the satellites.
    pub satellites: Vec<[f64; 2]>,
    /// The targets.
    pub targets: Vec<TargetPicture>,
    /// Where one part is through one turn of the table.
    pub path_mm: Vec<[f64; 2]>,
    /// How far the table has turned at each, degrees.
    pub turn_deg: Vec<f64>,
    /// How fast the film grows there, nm/min; a share of the mean where no rate is known.
    pub rate_nm_per_min: Vec<f64>,
    /// What has been laid since the turn began, nm; a share of one turn's layer where no rate is known.
    pub laid_nm: Vec<f64>,
}

/// A target from above.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TargetPicture {
    /// Middle of its face, mm.
    pub x_mm: f64,
    /// Middle of its face, mm.
    pub y_mm: f64,
    /// Where it stands around the chamber, degrees.
    pub bearing_deg: f64,
    /// Width of its track, mm.
    pub width_mm: f64,
}

/// What the reactive gas does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GasJson {
    /// `nitrogen`, `oxygen`, `acetylene`.
    pub gas: &'static str,
    /// Flow of this step, where it is known.
    pub flow_sccm: Option<f64>,
    /// Composition that it gives, and how surely the shop's colours say so.
    pub composition: Option<f64>,
    /// One standard deviation of the line alone.
    pub composition_sd: Option<f64>,
    /// Flows between which the shop's colours lie.
    pub range_sccm: Option<[f64; 2]>,
    /// `metal` or `compound`: the side of the jump that the colours were laid on.
    pub branch: Option<&'static str>,
    /// The shop's own colours, read back.
    pub read_back: Vec<ReadBackJson>,
    /// The balance of target, wall and gas fitted to the shop's loop; `null` without a loop.
    pub balance: Option<BalanceJson>,
    /// In words.
    pub words: Vec<String>,
}

/// A colour at a known flow, read back as a composition.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ReadBackJson {
    /// sccm.
    pub flow_sccm: f64,
    /// Nearest composition.
    pub composition: f64,
    /// How far its colour still is (CIEDE2000).
    pub delta_e: f64,
}

/// The S-curve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BalanceJson {
    /// Columns of one length, by rising pressure of the reactive gas.
    pub curve: Curve,
    /// Flows at which the process jumps; `null` where it does not.
    pub jump: Option<Jump>,
    /// Pumping speed, l/s, as the workshop tells it: a loop does not.
    pub pumping_l_per_s: Option<f64>,
    /// How many times as fast a pump would have no jump.
    pub pumping_times: f64,
    /// The shop's loop: flow (sccm) and cathode volts while the flow rose, and while it fell.
    pub up_sccm_v: Vec<[f64; 2]>,
    /// See `up_sccm_v`.
    pub down_sccm_v: Vec<[f64; 2]>,
    /// What the fit leaves, V rms.
    pub residual_v: f64,
}

/// Columns of the S-curve.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Curve {
    /// Of the reactive gas, Pa.
    pub pressure_pa: Vec<f64>,
    /// sccm.
    pub flow_sccm: Vec<f64>,
    /// V.
    pub cathode_v: Vec<f64>,
    /// Metal that leaves the target, over that of a bare one.
    pub rate_share: Vec<f64>,
    /// Share of the target that is compound.
    pub target_compound: Vec<f64>,
    /// Share of the walls and parts that is compound.
    pub wall_compound: Vec<f64>,
    /// Whether a flow alone holds the process here.
    pub steady: Vec<bool>,
}

/// Flows at which the process jumps, with the spans of fits that explain the loop as well.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Jump {
    /// Rising flow: to the compound side.
    pub up_sccm: f64,
    /// Span.
    pub up_range: [f64; 2],
    /// Falling flow: back to the metal side.
    pub down_sccm: f64,
    /// Span.
    pub down_range: [f64; 2],
}

/// The colour while a film grows. Columns of one length.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Layers {
    /// nm.
    pub thickness_nm: Vec<f64>,
    /// Composition of what is laid there; `null` where the film has none.
    pub composition: Option<Vec<f64>>,
    /// L*, a*, b*.
    pub lab: Vec<[f64; 3]>,
    /// `#rrggbb`.
    pub srgb: Vec<String>,
    /// Trade words.
    pub word: Vec<String>,
    /// Even slices that stand for a film of changing composition.
    pub slices: usize,
    /// What endlessly many slices would change (CIEDE2000), as doubling them tells; `null` for a film of one composition.
    pub error_delta_e: Option<f64>,
    /// In words.
    pub words: Vec<String>,
}

/// What the warmth does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Warmth {
    /// Of the part, C.
    pub part_c: f64,
    /// In words.
    pub words: Vec<String>,
}
