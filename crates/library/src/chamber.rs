//! How the chamber of a coater is built: how parts stand and turn in it, and where its targets are.

use crate::fault::{InputError, Problem};
use crate::fields::Fields;
use crate::recipe_step::exclude;

const MAX_TARGETS: usize = 50;
/// What is taken where a load says nothing: own choice, a common table with six satellites. The ratios are not whole, as
/// gears are cut, so that no part meets a target in the same turn of its own each time.
const SATELLITES: u32 = 6;
const SATELLITE_RATIO: f64 = 2.7;
const PIN_RATIO: f64 = 5.3;

/// How parts stand and turn.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadSpec {
    /// 0 still, 1 table, 2 table and satellites, 3 and each part on its own pin.
    pub rotation: u8,
    /// Of the table; there wherever it turns.
    pub rpm: Option<f64>,
    /// Axis of the table to the parts (rotation 0, 1) or to the axes of the satellites (2, 3), mm.
    pub table_radius_mm: f64,
    /// How many satellites stand on the table, evenly.
    pub satellites: u32,
    /// Axis of a satellite to its parts, mm; there where satellites turn.
    pub satellite_radius_mm: Option<f64>,
    /// Turns of a satellite against the table for each turn of the table.
    pub satellite_ratio: f64,
    /// Turns of a pin against its satellite for each turn of the table.
    pub pin_ratio: f64,
    /// Parts stand from minus half of this to plus half about the middle, mm.
    pub height_mm: f64,
    /// How much nearer the axis of what carries them the innermost parts stand, mm; 0: one row.
    pub inner_mm: f64,
}

/// A target.
#[derive(Debug, Clone, PartialEq)]
pub struct TargetSpec {
    /// Where it stands around the chamber, degrees.
    pub bearing_deg: f64,
    /// Axis of the table to its face, mm.
    pub axis_mm: f64,
    /// Height of its erosion track, mm.
    pub track_height_mm: f64,
    /// Width of its erosion track, mm.
    pub track_width_mm: f64,
    /// Exponent of the cosine law.
    pub emission: f64,
    /// Its middle above the middle of the load, mm.
    pub centre_mm: f64,
    /// Depth of the worn track, mm.
    pub groove_mm: f64,
}

/// `[coater.load]`.
pub(crate) fn read_load(f: &Fields<'_>) -> Result<LoadSpec, InputError> {
    let Some(rotation) = f.whole("rotation", "rotation")? else { return Err(f.missing("rotation", "rotation = 1")) };
    let rpm = f.quantity("rpm")?;
    match (rotation, rpm) {
        (0, Some(_)) => exclude(f, &["rpm"], "rotation is 0, so that nothing turns")?,
        (1.., None) => return Err(f.missing("rpm", "rpm = 3")),
        _ => {}
    }
    if rotation < 2 {
        let keys = ["satellites", "satellite_radius_mm", "satellite_ratio"];
        exclude(f, &keys, &format!("rotation is {rotation}, so that there are no satellites"))?;
    }
    if rotation < 3 {
        exclude(f, &["pin_ratio"], &format!("rotation is {rotation}, so that no pin turns"))?;
    }
    let satellite_radius_mm = f.quantity("satellite_radius_mm")?;
    if rotation >= 2 && satellite_radius_mm.is_none() {
        return Err(f.missing("satellite_radius_mm", "satellite_radius_mm = 60"));
    }
    let load = LoadSpec {
        rotation: u8::try_from(rotation).unwrap_or(0),
        rpm,
        table_radius_mm: f.need_quantity("table_radius_mm", "table_radius_mm")?,
        satellites: f.whole("satellites", "satellites")?.unwrap_or(SATELLITES),
        satellite_radius_mm,
        satellite_ratio: f.quantity("satellite_ratio")?.unwrap_or(SATELLITE_RATIO),
        pin_ratio: f.quantity("pin_ratio")?.unwrap_or(PIN_RATIO),
        height_mm: f.need_quantity("height_mm", "load_height_mm")?,
        inner_mm: f.quantity("inner_mm")?.unwrap_or(0.0),
    };
    check_satellites(f, &load)?;
    Ok(load)
}

/// Satellites must not run into one another.
fn check_satellites(f: &Fields<'_>, load: &LoadSpec) -> Result<(), InputError> {
    let Some(radius) = load.satellite_radius_mm else { return Ok(()) };
    if load.satellites < 2 {
        return Ok(());
    }
    let apart = load.table_radius_mm * libm::sin(std::f64::consts::PI / f64::from(load.satellites));
    if radius <= apart {
        return Ok(());
    }
    let message = format!(
        "{} satellites on a table_radius_mm of {} run into one another from a satellite_radius_mm of {apart:.1}; this one \
         is {radius}: fewer, smaller, or a larger table",
        load.satellites, load.table_radius_mm
    );
    Err(f.fault("satellite_radius_mm", Problem::Conflict { message }))
}

impl LoadSpec {
    /// Axis of the table to the outermost parts, mm.
    pub fn reach_mm(&self) -> f64 {
        self.table_radius_mm + self.satellite_radius_mm.unwrap_or(0.0)
    }
}

/// `[[coater.target]]`, which must clear `load`.
pub(crate) fn read_targets(f: &Fields<'_>, load: Option<&LoadSpec>) -> Result<Vec<TargetSpec>, InputError> {
    let tables = f.tables("target", "targets", MAX_TARGETS)?;
    let Some(load) = load else {
        if tables.is_empty() {
            return Ok(Vec::new());
        }
        return Err(
            f.missing("load", "[coater.load] with rotation = 1, rpm = 3, table_radius_mm = 250, height_mm = 400")
        );
    };
    tables
        .into_iter()
        .map(|t| {
            let target = read_target(&t)?;
            if target.axis_mm <= load.reach_mm() {
                let message = format!(
                    "the face is {} mm from the axis of the table, and the load reaches {} mm: they would touch; the target \
                     must stand farther out",
                    target.axis_mm,
                    load.reach_mm()
                );
                return Err(t.fault("axis_mm", Problem::Conflict { message }));
            }
            t.finish()?;
            Ok(target)
        })
        .collect()
}

fn read_target(f: &Fields<'_>) -> Result<TargetSpec, InputError> {
    let Some(bearing_deg) = f.quantity("bearing_deg")? else {
        return Err(f.missing("bearing_deg", "bearing_deg = 0"));
    };
    Ok(TargetSpec {
        bearing_deg,
        axis_mm: f.quantity("axis_mm")?.ok_or_else(|| f.missing("axis_mm", "axis_mm = 380"))?,
        track_height_mm: f
            .quantity("track_height_mm")?
            .ok_or_else(|| f.missing("track_height_mm", "track_height_mm = 500"))?,
        track_width_mm: f
            .quantity("track_width_mm")?
            .ok_or_else(|| f.missing("track_width_mm", "track_width_mm = 80"))?,
        emission: f.quantity("emission")?.unwrap_or(1.0),
        centre_mm: f.quantity("centre_mm")?.unwrap_or(0.0),
        groove_mm: f.quantity("groove_mm")?.unwrap_or(0.0),
    })
}
