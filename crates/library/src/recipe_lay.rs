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

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::fields::Document;

    fn read(rows: &str) -> Result<LaySpec, String> {
        let library = Library::embedded().unwrap();
        let text = format!("schema = 1\n[[step]]\n{rows}\n");
        let document = Document::parse("recipe.toml", &text).map_err(|e| e.to_string())?;
        let step = document.fields().tables("step", "steps", 9).unwrap().remove(0);
        let spec = read_lay(&step, CoaterKind::Sputter, &library).map_err(|e| e.to_string())?;
        step.finish().map_err(|e| e.to_string())?;
        Ok(spec)
    }

    const TIN: &str = "film = \"tin\"\n";
    const BLED: &str = "film = \"titanium-oxynitride\"\nseconds = \"5 min\"\n";

    fn through(stops: &[(&str, &str)]) -> String {
        stops.iter().map(|(at, aim)| format!("[[step.through]]\nat = {at}\n{aim}\n")).collect()
    }

    #[test]
    fn a_film_is_as_thick_as_nanometres_seconds_or_turns_say() {
        let thick = read(&format!("{TIN}thickness_nm = 30")).unwrap();
        assert_eq!((thick.thickness_nm, thick.seconds, thick.turns), (Some(30.0), None, None));
        let timed = read(&format!("{TIN}seconds = \"3.75 min\"")).unwrap();
        assert_eq!((timed.thickness_nm, timed.seconds), (None, Some(225.0)));
        // As match writes it.
        let both = read(&format!("{TIN}thickness_nm = 30\nseconds = 225")).unwrap();
        assert_eq!((both.thickness_nm, both.seconds), (Some(30.0), Some(225.0)));
        let turned = read(&format!("{TIN}turns = 94\nflow_sccm = 18")).unwrap();
        assert_eq!((turned.turns, turned.flow_sccm, turned.composition), (Some(94.0), Some(18.0), None));
        assert!(turned.through.is_empty());
    }

    #[test]
    fn composition_and_flow_may_run_through_the_film() {
        let stops = through(&[("0", "composition = 0.0"), ("\"40 %\"", "flow_sccm = 4"), ("100", "composition = 0.6")]);
        let bled = read(&format!("{BLED}{stops}")).unwrap();
        let aims: Vec<(f64, ThroughAim)> = bled.through.iter().map(|s| (s.at, s.aim)).collect();
        assert_eq!(
            aims,
            [
                (0.0, ThroughAim::Composition(0.0)),
                (40.0, ThroughAim::FlowSccm(4.0)),
                (100.0, ThroughAim::Composition(0.6))
            ]
        );
    }

    #[test]
    fn what_a_film_cannot_be_is_refused() {
        let ends = through(&[("0", "composition = 0"), ("100", "composition = 1")]);
        for (rows, part) in [
            (TIN.to_owned(), "step[1].thickness_nm: is missing; add for instance `thickness_nm = 30, or seconds = 225"),
            (format!("{TIN}thickness_um = 30"), "(there is 'thickness_um', which is not known here)"),
            (format!("{TIN}turns = 3\nseconds = 9"), "turns say how long the shutter is open; leave out"),
            (format!("{TIN}turns = 3\nthickness_nm = 9"), "turns say how long the shutter is open; leave out"),
            (format!("{TIN}turns = 0"), "turns of the table with the shutter open is 0"),
            (format!("{TIN}seconds = 9\nflow_sccm = 3\ncomposition = 0.5"), "keep one of them"),
            (format!("{TIN}seconds = 9\nflow_sccm = -3"), "flow of the reactive gas is -3 sccm"),
            (
                "film = \"zrn\"\nseconds = 9\nflow_sccm = 3".to_owned(),
                "'zrn' has no composition that a flow could govern",
            ),
            (format!("film = \"zrn\"\nseconds = 9\n{ends}"), "'zrn' has no composition to set"),
            (
                format!("{BLED}composition = 0.5\n{ends}"),
                "the stops say what is laid at each depth; leave composition out",
            ),
            (format!("{BLED}flow_sccm = 5\n{ends}"), "leave flow_sccm out"),
            (format!("{BLED}{}", through(&[("0", "composition = 0")])), "they must run from 0 to 100, end to end"),
            (format!("{BLED}{}", through(&[("0", "composition = 0"), ("0", "composition = 1")])), "in order"),
            (format!("{BLED}{}", through(&[("0", "composition = 2")])), "composition is 2; allowed is 0 to 1"),
            (format!("{BLED}{}", through(&[("0", "")])), "through[1].composition: is missing"),
            (format!("{BLED}{}", through(&[("0", "composition = 0\nflow_sccm = 1")])), "what is laid there; keep one"),
            (format!("{BLED}{}", through(&[("0", "composition = 0\nvolts = 3")])), "'volts' is not known here"),
            ("film = \"tialn\"\nseconds = 9\ncomposition = 0.9".to_owned(), "allowed is 0 to 0.8"),
        ] {
            let message = read(&rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}
