//! A step of a recipe that lays a film in vacuum: how much of it, of which composition, and how that runs through it.

use crate::embedded::Library;
use crate::fault::{InputError, Problem};
use crate::fields::Fields;
use crate::recipe_step::{exclude, owned, read_film, read_stops};
use crate::workshop_file::CoaterKind;

/// A film laid in vacuum.
#[derive(Debug, Clone, PartialEq)]
pub struct LaySpec {
    /// By arc or by magnetron.
    pub kind: CoaterKind,
    /// Coater, by its name in the workshop.
    pub machine: Option<String>,
    /// Film id.
    pub film: String,
    /// How thick, nm; one of this, [`Self::seconds`] and [`Self::turns`] is there.
    pub thickness_nm: Option<f64>,
    /// Time with the shutter open, s; may stand beside the thickness.
    pub seconds: Option<f64>,
    /// Turns of the table with the shutter open; stands alone.
    pub turns: Option<f64>,
    /// Slider of a family.
    pub composition: Option<f64>,
    /// Flow of the reactive gas instead of the composition, sccm.
    pub flow_sccm: Option<f64>,
    /// How composition or flow run through the film, from 0 to 100, two or more; empty: they do not.
    pub through: Vec<ThroughStop>,
    /// Temperature that the part reaches, C.
    pub part_temperature_c: Option<f64>,
}

/// What is set at one depth of the film.
#[derive(Debug, Clone, PartialEq)]
pub struct ThroughStop {
    /// Per cent of the thickness, from the base outward.
    pub at: f64,
    /// What is set there.
    pub aim: ThroughAim,
}

/// The composition, or the flow that makes it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ThroughAim {
    /// Slider of the family.
    Composition(f64),
    /// Flow of the reactive gas, sccm.
    FlowSccm(f64),
}

/// What `route = "sputter"` and `route = "arc"` take.
pub(crate) fn read_lay(f: &Fields<'_>, kind: CoaterKind, library: &Library) -> Result<LaySpec, InputError> {
    let film = read_film(f, library)?.ok_or_else(|| f.missing("film", "film = \"tin\""))?.to_owned();
    let composition = read_composition(f, &film, library)?;
    let flow_sccm = read_flow(f, &film, library)?;
    if composition.is_some() && flow_sccm.is_some() {
        let message = "composition and flow_sccm both say what the film is made of; keep one of them".to_owned();
        return Err(f.fault("flow_sccm", Problem::Conflict { message }));
    }
    let through: Vec<ThroughStop> = read_stops(f, "through", |stop| {
        match (read_composition(stop, &film, library)?, read_flow(stop, &film, library)?) {
            (Some(composition), None) => Ok(ThroughAim::Composition(composition)),
            (None, Some(flow)) => Ok(ThroughAim::FlowSccm(flow)),
            (None, None) => Err(stop.missing("composition", "composition = 0.3, or flow_sccm = 12")),
            (Some(_), Some(_)) => {
                let message = "composition and flow_sccm both say what is laid there; keep one of them".to_owned();
                Err(stop.fault("flow_sccm", Problem::Conflict { message }))
            }
        }
    })?
    .into_iter()
    .map(|(at, aim)| ThroughStop { at, aim })
    .collect();
    if !through.is_empty() {
        exclude(f, &["composition", "flow_sccm"], "the stops say what is laid at each depth")?;
    }
    let thickness_nm = f.quantity("thickness_nm")?;
    let seconds = f.quantity("seconds")?;
    let turns = f.quantity("turns")?;
    match (thickness_nm, seconds, turns) {
        (None, None, None) => {
            return Err(f.missing("thickness_nm", "thickness_nm = 30, or seconds = 225, or turns = 94"));
        }
        (Some(_), _, Some(_)) | (_, Some(_), Some(_)) => {
            let message = "turns say how long the shutter is open; leave out thickness_nm and seconds, or turns";
            return Err(f.fault("turns", Problem::Conflict { message: message.to_owned() }));
        }
        _ => {}
    }
    Ok(LaySpec {
        kind,
        machine: owned(f.text("machine")?),
        film,
        thickness_nm,
        seconds,
        turns,
        composition,
        flow_sccm,
        through,
        part_temperature_c: f.quantity("part_temperature_c")?,
    })
}

fn read_composition(f: &Fields<'_>, film: &str, library: &Library) -> Result<Option<f64>, InputError> {
    let Some(given) = f.quantity("composition")? else { return Ok(None) };
    library.family_for(film, None, given).map_err(|problem| f.fault("composition", problem))?;
    Ok(Some(given))
}

fn read_flow(f: &Fields<'_>, film: &str, library: &Library) -> Result<Option<f64>, InputError> {
    let Some(given) = f.quantity("flow_sccm")? else { return Ok(None) };
    if library.entry(film).is_ok_and(|entry| entry.family.is_none()) {
        let message = format!("'{film}' has no composition that a flow could govern; leave flow_sccm out");
        return Err(f.fault("flow_sccm", Problem::Conflict { message }));
    }
    Ok(Some(given))
}
