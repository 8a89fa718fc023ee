//! A supply for anodising: how it makes its voltage, what its meter shows, what it can give.

use crate::fault::{InputError, Problem};
use crate::fields::Fields;

/// How the supply makes its voltage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SupplyKind {
    /// Regulated and smooth.
    Regulated,
    /// Batteries in series.
    Batteries,
    /// A rectifier, perhaps without smoothing.
    Rectified,
}

/// How the voltage swings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ripple {
    /// Not at all.
    None,
    /// Both half-waves of the mains, without a filter.
    FullWave,
    /// One half-wave of the mains, without a filter.
    HalfWave,
}

/// What the meter shows of a voltage that swings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meter {
    /// The crest, which sets the film; of a smooth voltage all three are the same.
    Peak,
    /// The mean: moving-coil meters and most cheap ones on DC.
    Average,
    /// The root of the mean square.
    Rms,
}

/// A supply with its leads.
#[derive(Debug, Clone, PartialEq)]
pub struct Anodiser {
    /// What the person calls it.
    pub name: String,
    /// How it makes its voltage.
    pub kind: SupplyKind,
    /// How its voltage swings.
    pub ripple: Ripple,
    /// Whether the person said so; if not, a rectifier is taken to have no filter.
    pub ripple_given: bool,
    /// What its meter shows.
    pub meter: Meter,
    /// Whether the person said so.
    pub meter_given: bool,
    /// What each battery adds, V: the voltage comes in its multiples.
    pub step_v: Option<f64>,
    /// Resistance of supply and leads, ohm.
    pub internal_ohm: Option<f64>,
    /// Whether it is isolated from the mains; `None`: not said.
    pub isolated: Option<bool>,
    /// Greatest voltage, V.
    pub max_voltage_v: f64,
    /// Greatest current, A.
    pub max_current_a: Option<f64>,
    /// One standard deviation of the voltage from run to run, V.
    pub repeatability_v: f64,
    /// Gap between part and cathode, mm.
    pub gap_mm: Option<f64>,
    /// Relative variation of thickness within the viewed patch.
    pub spread: f64,
}

const KINDS: [(&str, SupplyKind); 3] =
    [("regulated", SupplyKind::Regulated), ("batteries", SupplyKind::Batteries), ("rectified", SupplyKind::Rectified)];
const RIPPLES: [(&str, Ripple); 3] =
    [("none", Ripple::None), ("full-wave", Ripple::FullWave), ("half-wave", Ripple::HalfWave)];
const METERS: [(&str, Meter); 3] = [("peak", Meter::Peak), ("average", Meter::Average), ("rms", Meter::Rms)];

/// One `[[anodiser]]` of a workshop.
pub(crate) fn read_anodiser(f: &Fields<'_>) -> Result<Anodiser, InputError> {
    let name = f.need_text("name", "name = \"bench supply\"")?.to_owned();
    let kind = f.need_choice("kind", &KINDS)?;
    let max_voltage_v = f.need_quantity("max_voltage_v", "max_voltage_v")?;
    let ripple = read_ripple(f, kind)?;
    let meter = f.choice("meter", &METERS)?;
    let usual_ripple = if kind == SupplyKind::Rectified { Ripple::FullWave } else { Ripple::None };
    let usual_meter = if kind == SupplyKind::Rectified { Meter::Average } else { Meter::Peak };
    Ok(Anodiser {
        name,
        kind,
        ripple: ripple.unwrap_or(usual_ripple),
        ripple_given: ripple.is_some(),
        meter: meter.unwrap_or(usual_meter),
        meter_given: meter.is_some(),
        step_v: read_step(f, kind, max_voltage_v)?,
        internal_ohm: f.quantity("internal_ohm")?,
        isolated: f.boolean("isolated")?,
        max_voltage_v,
        max_current_a: f.quantity("max_current_a")?,
        repeatability_v: f.quantity("repeatability_v")?.unwrap_or(0.0),
        gap_mm: f.quantity("gap_mm")?,
        spread: f.quantity("spread")?.unwrap_or(0.0),
    })
}

fn read_ripple(f: &Fields<'_>, kind: SupplyKind) -> Result<Option<Ripple>, InputError> {
    let ripple = f.choice("ripple", &RIPPLES)?;
    if kind != SupplyKind::Rectified && ripple.is_some_and(|r| r != Ripple::None) {
        let message = "only a rectified supply swings; write kind = \"rectified\", or leave ripple out".to_owned();
        return Err(f.fault("ripple", Problem::Conflict { message }));
    }
    Ok(ripple)
}

fn read_step(f: &Fields<'_>, kind: SupplyKind, max_voltage_v: f64) -> Result<Option<f64>, InputError> {
    let Some(step_v) = f.quantity("step_v")? else { return Ok(None) };
    if kind != SupplyKind::Batteries {
        let message = "step_v is what each battery adds; write kind = \"batteries\", or leave it out".to_owned();
        return Err(f.fault("step_v", Problem::Conflict { message }));
    }
    if step_v > max_voltage_v {
        let message = format!("step_v is {step_v} V, more than max_voltage_v, {max_voltage_v} V: not even one battery");
        return Err(f.fault("step_v", Problem::Conflict { message }));
    }
    Ok(Some(step_v))
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::fields::Document;

    fn read(rows: &str) -> Result<Anodiser, String> {
        let text = format!("schema = 1\nname = \"supply\"\nmax_voltage_v = 27\n{rows}");
        let document = Document::parse("supply.toml", &text).unwrap();
        read_anodiser(&document.fields()).map_err(|e| e.to_string())
    }

    /// The defaults are those of docs/files.md: a rectifier that says nothing has no filter, and its meter shows the mean.
    #[test]
    fn what_is_not_said_is_taken_on_the_unsafe_side() {
        let rectified = read("kind = \"rectified\"").unwrap();
        assert_eq!((rectified.ripple, rectified.ripple_given), (Ripple::FullWave, false));
        assert_eq!((rectified.meter, rectified.meter_given), (Meter::Average, false));
        let smooth = read("kind = \"regulated\"").unwrap();
        assert_eq!((smooth.ripple, smooth.meter), (Ripple::None, Meter::Peak));
        let said =
            read("kind = \"rectified\"\nripple = \"half-wave\"\nmeter = \"rms\"\ninternal_ohm = \"500 mohm\"").unwrap();
        assert_eq!((said.ripple, said.ripple_given, said.meter), (Ripple::HalfWave, true, Meter::Rms));
        assert!((said.internal_ohm.unwrap() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn what_does_not_fit_the_kind_is_refused() {
        assert_eq!(read("kind = \"batteries\"\nstep_v = 9").unwrap().step_v, Some(9.0));
        for (rows, part) in [
            ("kind = \"regulated\"\nripple = \"full-wave\"", "line 5, ripple: only a rectified supply swings"),
            ("kind = \"batteries\"\nripple = \"half\"", "\"none\" or \"full-wave\" or \"half-wave\""),
            ("kind = \"regulated\"\nstep_v = 9", "step_v is what each battery adds"),
            ("kind = \"batteries\"\nstep_v = 36", "more than max_voltage_v, 27 V"),
            ("kind = \"rectified\"\nmeter = \"mean\"", "\"peak\" or \"average\" or \"rms\""),
        ] {
            let message = read(rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}
