//! An anodising step of a recipe: a voltage that is set, a fade in which the part is lifted, or a brush.

use crate::embedded::Library;
use crate::fault::{InputError, Problem};
use crate::fields::Fields;
use crate::recipe_step::{exclude, owned, read_film, read_stops};

/// Anodising.
#[derive(Debug, Clone, PartialEq)]
pub struct AnodiseSpec {
    /// Supply, by its name in the workshop.
    pub machine: Option<String>,
    /// Bath, by its name in the workshop.
    pub bath: Option<String>,
    /// Film id that was foretold.
    pub film: Option<String>,
    /// Electrolyte id that was foretold.
    pub electrolyte: Option<String>,
    /// What the person sets, V; `None` only in a fade.
    pub voltage_v: Option<f64>,
    /// Steady rise, V/s; `None`: set at once.
    pub ramp_v_per_s: Option<f64>,
    /// How long it is held, s.
    pub hold_s: Option<f64>,
    /// Held until the current has fallen to this, A.
    pub stop_current_a: Option<f64>,
    /// The part is lifted while the voltage changes.
    pub fade: Option<FadeSpec>,
    /// A small contact moves over the part.
    pub brush: Option<BrushSpec>,
}

/// A fade: the part is lifted out while the voltage changes.
#[derive(Debug, Clone, PartialEq)]
pub struct FadeSpec {
    /// How far it is lifted, mm; `None`: the height of the part.
    pub length_mm: Option<f64>,
    /// How fast, mm/s; `None`: as fast as the supply can grow.
    pub speed_mm_per_s: Option<f64>,
    /// From 0 (leaves first) to 100 (leaves last), two or more.
    pub stops: Vec<AnodiseStop>,
}

/// What a fade aims at in one place.
#[derive(Debug, Clone, PartialEq)]
pub struct AnodiseStop {
    /// Per cent of the way.
    pub at: f64,
    /// What is to be there.
    pub aim: AnodiseAim,
}

/// A colour, or the voltage for it.
#[derive(Debug, Clone, PartialEq)]
pub enum AnodiseAim {
    /// A colour as a person writes it.
    Colour(String),
    /// A voltage, V.
    VoltageV(f64),
}

/// A pencil or a brush.
#[derive(Debug, Clone, PartialEq)]
pub struct BrushSpec {
    /// Area that it wets at one time, mm2.
    pub contact_mm2: f64,
    /// How fast it moves, mm/s.
    pub speed_mm_per_s: f64,
    /// How often it passes each place.
    pub passes: u32,
}

/// What `route = "anodise"` takes.
pub(crate) fn read_anodise(f: &Fields<'_>, library: &Library) -> Result<AnodiseSpec, InputError> {
    let electrolyte = f.text("electrolyte")?;
    if let Some(id) = electrolyte {
        library.electrolyte_named(id).map_err(|problem| f.fault("electrolyte", problem))?;
    }
    let spec = AnodiseSpec {
        machine: owned(f.text("machine")?),
        bath: owned(f.text("bath")?),
        film: owned(read_film(f, library)?),
        electrolyte: owned(electrolyte),
        voltage_v: f.quantity("voltage_v")?,
        ramp_v_per_s: f.quantity("ramp_v_per_s")?,
        hold_s: f.quantity("hold_s")?,
        stop_current_a: f.quantity("stop_current_a")?,
        fade: read_fade(f)?,
        brush: f.table("brush")?.map(read_brush).transpose()?,
    };
    if spec.fade.is_some() {
        exclude(f, &["voltage_v", "ramp_v_per_s", "brush"], "the stops of a fade say how the voltage runs")?;
    } else if spec.voltage_v.is_none() {
        return Err(f.missing("voltage_v", "voltage_v = 62"));
    }
    if spec.brush.is_some() {
        exclude(
            f,
            &["hold_s", "ramp_v_per_s", "stop_current_a"],
            "a brush stays on each place as long as its speed says",
        )?;
    }
    Ok(spec)
}

fn read_fade(f: &Fields<'_>) -> Result<Option<FadeSpec>, InputError> {
    let stops = read_stops(f, "along", |stop| match (stop.text("colour")?, stop.quantity("voltage_v")?) {
        (Some(colour), None) => Ok(AnodiseAim::Colour(colour.to_owned())),
        (None, Some(voltage_v)) => Ok(AnodiseAim::VoltageV(voltage_v)),
        (None, None) => Err(stop.missing("colour", "colour = \"gold\", or voltage_v = 12")),
        (Some(_), Some(_)) => {
            let message = "colour and voltage_v both say what is to be there; keep one of them".to_owned();
            Err(stop.fault("voltage_v", Problem::Conflict { message }))
        }
    })?;
    if stops.is_empty() {
        exclude(f, &["length_mm", "speed_mm_per_s"], "only a fade, with [[step.along]], lifts the part")?;
        return Ok(None);
    }
    let stops = stops.into_iter().map(|(at, aim)| AnodiseStop { at, aim }).collect();
    Ok(Some(FadeSpec { length_mm: f.quantity("length_mm")?, speed_mm_per_s: f.quantity("speed_mm_per_s")?, stops }))
}

fn read_brush(f: Fields<'_>) -> Result<BrushSpec, InputError> {
    let brush = BrushSpec {
        contact_mm2: f.need_quantity("contact_mm2", "contact_mm2")?,
        speed_mm_per_s: f.need_quantity("speed_mm_per_s", "speed_mm_per_s")?,
        passes: f.whole("passes", "passes")?.unwrap_or(1),
    };
    f.finish()?;
    Ok(brush)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::fields::Document;

    fn read(rows: &str) -> Result<AnodiseSpec, String> {
        let library = Library::embedded().unwrap();
        let text = format!("schema = 1\n{rows}\n");
        let document = Document::parse("recipe.toml", &text).unwrap();
        read_anodise(&document.fields(), &library).map_err(|e| e.to_string())
    }

    const FADE: &str = "speed_mm_per_s = \"30 mm/min\"\n[[along]]\nat = 0\ncolour = \"gold\"\n\
                        [[along]]\nat = 100\nvoltage_v = 90";
    const BRUSH: &str = "voltage_v = 40\n[brush]\ncontact_mm2 = 40\nspeed_mm_per_s = 5";

    #[test]
    fn a_bath_is_held_lifted_or_brushed() {
        let held = read("voltage_v = 62\nramp_v_per_s = 2\nhold_s = 30").unwrap();
        assert_eq!((held.voltage_v, held.ramp_v_per_s, held.hold_s), (Some(62.0), Some(2.0), Some(30.0)));
        let lifted = read(FADE).unwrap();
        let fade = lifted.fade.unwrap();
        assert_eq!((lifted.voltage_v, fade.length_mm), (None, None));
        assert!((fade.speed_mm_per_s.unwrap() - 0.5).abs() < 1e-12); // 30 mm in 60 s
        assert_eq!(fade.stops[0].aim, AnodiseAim::Colour("gold".to_owned()));
        assert_eq!(fade.stops[1].aim, AnodiseAim::VoltageV(90.0));
        assert_eq!(read(BRUSH).unwrap().brush.unwrap().passes, 1);
    }

    #[test]
    fn what_a_bath_cannot_do_is_refused() {
        let fade = |stops: &[&str]| {
            stops.iter().map(|at| format!("[[along]]\nat = {at}\nvoltage_v = 20\n")).collect::<String>()
        };
        for (rows, part) in [
            ("", "voltage_v: is missing"),
            ("voltage_v = 500", "allowed is 0 to 400 V"),
            ("voltage_v = 5\nlength_mm = 3", "only a fade"),
            ("voltage_v = 5\nelectrolyte = \"citrc-acid\"", "mean 'citric-acid'?"),
            (&format!("voltage_v = 5\n{FADE}"), "leave voltage_v out"),
            (&fade(&["0", "50"]), "they must run from 0 to 100"),
            (&fade(&["0"]), "they must run from 0 to 100"),
            (&fade(&["0", "60", "40", "100"]), "at is 40, not more than 60"),
            (&fade(&["0", "120"]), "place along the part"),
            (&FADE.replace("colour = \"gold\"", ""), "along[1].colour: is missing"),
            (&FADE.replace("voltage_v", "colour = \"blue\"\nvoltage_v"), "keep one of them"),
            (&format!("hold_s = 3\n{BRUSH}"), "leave hold_s out"),
            (&format!("{BRUSH}\npasses = 1.5"), "a whole number of passes"),
        ] {
            let message = read(rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}
