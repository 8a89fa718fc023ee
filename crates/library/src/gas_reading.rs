//! What a shop reads of its reactive gas: cathode volts against flow, up and down, and the colours that came of it.

use crate::embedded::Library;
use crate::fault::{InputError, Problem};
use crate::fields::Fields;
use crate::wanted::{read_lab, read_light_word, read_observer};
use crate::workshop_file::CoaterFilm;

const MAX_GASES: usize = 20;
const MAX_COLOURS: usize = 200;

/// A reactive gas.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gas {
    /// For nitrides.
    Nitrogen,
    /// For oxides and oxynitrides.
    Oxygen,
    /// For carbides and carbonitrides.
    Acetylene,
}

const GASES: [(&str, Gas); 3] = [("nitrogen", Gas::Nitrogen), ("oxygen", Gas::Oxygen), ("acetylene", Gas::Acetylene)];

impl Gas {
    /// Its word in files and cautions.
    pub fn word(self) -> &'static str {
        GASES.iter().find(|(_, meant)| *meant == self).map_or("", |(word, _)| word)
    }
}

/// The shop's own reading of its reactive gas.
#[derive(Debug, Clone, PartialEq)]
pub struct GasSpec {
    /// Which gas.
    pub gas: Gas,
    /// Film id whose composition it governs.
    pub film: String,
    /// Current of the cathode while it was read, A.
    pub current_a: Option<f64>,
    /// Pumping speed at the chamber, l/s.
    pub pumping_l_per_s: Option<f64>,
    /// Area of the target, cm2.
    pub target_cm2: Option<f64>,
    /// Area that is coated, cm2.
    pub wall_cm2: Option<f64>,
    /// Flow (sccm) and volts of the cathode while the flow rose.
    pub up: Vec<[f64; 2]>,
    /// The same while it fell.
    pub down: Vec<[f64; 2]>,
    /// Colours of opaque films laid at known flows.
    pub colours: Vec<GasColour>,
}

/// The colour of an opaque film laid at a known flow.
#[derive(Debug, Clone, PartialEq)]
pub struct GasColour {
    /// Flow, sccm.
    pub flow_sccm: f64,
    /// L*, a*, b*.
    pub lab: [f64; 3],
    /// The light it was measured for.
    pub light: String,
    /// 2 or 10 degrees.
    pub observer: u8,
    /// Whether it was laid on the compound side of the jump.
    pub compound: bool,
}

/// `[[coater.gas]]` of a coater that lays `films`.
pub(crate) fn read_gases(f: &Fields<'_>, films: &[CoaterFilm], library: &Library) -> Result<Vec<GasSpec>, InputError> {
    let mut gases: Vec<GasSpec> = Vec::new();
    for table in f.tables("gas", "readings of a gas", MAX_GASES)? {
        let gas = read_gas(&table, films, library)?;
        if gases.iter().any(|other| other.gas == gas.gas && other.film == gas.film) {
            let message = format!("there are two readings of {} for '{}'; keep the newer", gas.gas.word(), gas.film);
            return Err(table.fault("gas", Problem::Conflict { message }));
        }
        table.finish()?;
        gases.push(gas);
    }
    Ok(gases)
}

fn read_gas(f: &Fields<'_>, films: &[CoaterFilm], library: &Library) -> Result<GasSpec, InputError> {
    let gas = GasSpec {
        gas: f.need_choice("gas", &GASES)?,
        film: read_governed(f, films, library)?,
        current_a: f.quantity("current_a")?,
        pumping_l_per_s: f.quantity("pumping_l_per_s")?,
        target_cm2: f.quantity("target_cm2")?,
        wall_cm2: f.quantity("wall_cm2")?,
        up: read_branch(f, "up_sccm_v", true)?,
        down: read_branch(f, "down_sccm_v", false)?,
        colours: f
            .tables("colour", "colours", MAX_COLOURS)?
            .into_iter()
            .map(|c| read_colour(c, library))
            .collect::<Result<_, _>>()?,
    };
    if gas.up.is_empty() && gas.down.is_empty() && gas.colours.is_empty() {
        return Err(f.missing("up_sccm_v", "up_sccm_v = [[2, 420], [4, 415]], what you read while the flow rose"));
    }
    Ok(gas)
}

/// The film must be one that the coater lays, with a composition that is free to be set.
fn read_governed(f: &Fields<'_>, films: &[CoaterFilm], library: &Library) -> Result<String, InputError> {
    let id = f.need_text("film", "film = \"tin\"")?;
    let known: Vec<&str> = films.iter().map(|film| film.material.as_str()).collect();
    let Some(laid) = films.iter().find(|film| film.material == id) else {
        return Err(f.fault(
            "film",
            Problem::UnknownName {
                what: "film",
                given: id.to_owned(),
                nearest: crate::fault::nearest(id, known.iter().copied()),
                hint: format!("films of this coater: {}", known.join(", ")),
            },
        ));
    };
    if library.entry(id).is_ok_and(|entry| entry.family.is_none()) {
        let message = format!("'{id}' has no composition that a gas could govern; leave this reading out");
        return Err(f.fault("film", Problem::Conflict { message }));
    }
    if let Some(fixed) = laid.composition {
        let message = format!(
            "films says that the composition of '{id}' is always {fixed}; write films = [\"{id}\"] to let the gas govern it"
        );
        return Err(f.fault("film", Problem::Conflict { message }));
    }
    Ok(id.to_owned())
}

/// Flow and volts in the order in which they were read.
fn read_branch(f: &Fields<'_>, key: &str, rising: bool) -> Result<Vec<[f64; 2]>, InputError> {
    let example = if rising { "[[2, 420], [4, 415]]" } else { "[[12, 350], [10, 352]]" };
    let mut pairs = f.pairs(key, ["flow_sccm", "cathode_v"], example)?;
    for (i, two) in pairs.windows(2).enumerate() {
        let [before, after] = [two[0][0], two[1][0]];
        if (rising && after <= before) || (!rising && after >= before) {
            let run = if rising { "rise" } else { "fall" };
            let message = format!(
                "the flow goes from {before} to {after} sccm at pair {}; here it must {run} from pair to pair, in the order read",
                i + 2
            );
            return Err(f.fault(key, Problem::Conflict { message }));
        }
    }
    // A cathode is negative; meters show either sign.
    pairs.iter_mut().for_each(|pair| pair[1] = pair[1].abs());
    Ok(pairs)
}

fn read_colour(f: Fields<'_>, library: &Library) -> Result<GasColour, InputError> {
    let colour = GasColour {
        flow_sccm: f.quantity("flow_sccm")?.ok_or_else(|| f.missing("flow_sccm", "flow_sccm = 18"))?,
        lab: read_lab(&f)?.ok_or_else(|| f.missing("lab", "lab = [74, 3, 30]"))?,
        light: read_light_word(&f, library)?.unwrap_or_else(|| "D65".to_owned()),
        observer: read_observer(&f)?.unwrap_or(2),
        compound: f.choice("branch", &[("metal", false), ("compound", true)])?.unwrap_or(false),
    };
    f.finish()?;
    Ok(colour)
}
