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

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::fields::Document;

    fn read(rows: &str) -> Result<Vec<GasSpec>, String> {
        let library = Library::embedded().unwrap();
        let text = format!("schema = 1\n[[gas]]\n{rows}\n");
        let document = Document::parse("shop.toml", &text).map_err(|e| e.to_string())?;
        let film = |id: &str, composition| CoaterFilm { material: id.to_owned(), composition };
        let films = [film("tin", None), film("zrn", None), film("tialn", Some(0.5)), film("titanium-oxynitride", None)];
        read_gases(&document.fields(), &films, &library).map_err(|e| e.to_string())
    }

    const TIN: &str = "gas = \"nitrogen\"\nfilm = \"tin\"\n";

    #[test]
    fn a_loop_and_its_colours_are_read() {
        let gases = read(&format!(
            "{TIN}current_a = 8\npumping_l_per_s = \"0.8 m3/s\"\ntarget_cm2 = \"4 dm2\"\nwall_cm2 = \"1.2 m2\"\n\
             up_sccm_v = [[2, -420], [\"0.004 slm\", 415]]\ndown_sccm_v = [[12, 350], [10, 352]]\n\
             [[gas.colour]]\nflow_sccm = 18\nlab = [74, 3, 30]\n\
             [[gas.colour]]\nflow_sccm = 30\nlab = [60, 9, 22]\nlight = \"A\"\nobserver = 10\nbranch = \"compound\""
        ))
        .unwrap();
        let gas = &gases[0];
        assert_eq!((gas.gas, gas.gas.word(), gas.film.as_str()), (Gas::Nitrogen, "nitrogen", "tin"));
        // Either sign of the volts is the same cathode; a slm is 1000 sccm.
        assert!((gas.up[0][1] - 420.0).abs() < 1e-12 && (gas.up[1][0] - 4.0).abs() < 1e-12);
        assert_eq!(gas.down, [[12.0, 350.0], [10.0, 352.0]]);
        let near = |given: Option<f64>, value: f64| (given.unwrap() / value - 1.0).abs() < 1e-12;
        assert!(near(gas.pumping_l_per_s, 800.0) && near(gas.target_cm2, 400.0) && near(gas.wall_cm2, 12_000.0));
        let [metal, compound] = &gas.colours[..] else { panic!("two colours") };
        assert_eq!((metal.light.as_str(), metal.observer, metal.compound), ("D65", 2, false));
        assert_eq!((compound.light.as_str(), compound.observer, compound.compound), ("A", 10, true));
    }

    #[test]
    fn colours_alone_are_a_reading() {
        let gases = read(&format!("{TIN}[[gas.colour]]\nflow_sccm = 18\nlab = [74, 3, 30]")).unwrap();
        assert!(gases[0].up.is_empty() && gases[0].colours.len() == 1);
    }

    #[test]
    fn a_reading_that_cannot_be_used_is_refused() {
        let up = "up_sccm_v = [[2, 420], [4, 415]]\n";
        for (rows, part) in [
            (TIN.to_owned(), "gas[1].up_sccm_v: is missing"),
            ("film = \"tin\"".to_owned(), "gas: is missing; add for instance `gas = \"nitrogen\"`"),
            ("gas = \"argon\"".to_owned(), "\"nitrogen\" or \"oxygen\" or \"acetylene\""),
            ("gas = \"nitrogen\"".to_owned(), "film: is missing"),
            (
                TIN.replace("\"tin\"", "\"tim\""),
                "film 'tim' is not known, did you mean 'tin'?; films of this coater: tin",
            ),
            (TIN.replace("\"tin\"", "\"zrn\"") + up, "'zrn' has no composition that a gas could govern"),
            (TIN.replace("\"tin\"", "\"tialn\"") + up, "the composition of 'tialn' is always 0.5"),
            (format!("{TIN}up_sccm_v = [[2, 420], [2, 415]]"), "goes from 2 to 2 sccm at pair 2; here it must rise"),
            (format!("{TIN}down_sccm_v = [[2, 420], [4, 415]]"), "goes from 2 to 4 sccm at pair 2; here it must fall"),
            (format!("{TIN}up_sccm_v = [2, 420]"), "is 2, but must be a list of pairs such as [[2, 420], [4, 415]]"),
            (format!("{TIN}up_sccm_v = [[2, 420, 3]]"), "is a list of 3 numbers, but must be a list of pairs"),
            (format!("{TIN}up_sccm_v = 3"), "is 3, but must be a list of pairs"),
            (format!("{TIN}up_sccm_v = [[-2, 420]]"), "flow of the reactive gas is -2 sccm"),
            (
                format!("{TIN}up_sccm_v = [[2, \"420 A\"]]"),
                "the unit 'A', which does not measure voltage of the cathode",
            ),
            (format!("{TIN}up_sccm_v = [[2, nan]]"), "voltage of the cathode is NaN"),
            (format!("{TIN}{up}[[gas]]\n{TIN}{up}"), "there are two readings of nitrogen for 'tin'"),
            (format!("{TIN}{up}pumping = 3"), "did you mean 'pumping_l_per_s'?"),
            (format!("{TIN}[[gas.colour]]\nlab = [1, 2, 3]"), "colour[1].flow_sccm: is missing"),
            (format!("{TIN}[[gas.colour]]\nflow_sccm = 3"), "colour[1].lab: is missing"),
            (
                format!("{TIN}[[gas.colour]]\nflow_sccm = 3\nlab = [1, 2, 3]\nbranch = \"up\""),
                "\"metal\" or \"compound\"",
            ),
        ] {
            let message = read(&rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
        let many: Vec<String> = (0..501).map(|i| format!("[{i}, 400]")).collect();
        let message = read(&format!("{TIN}up_sccm_v = [{}]", many.join(", "))).unwrap_err();
        assert!(message.contains("lists 501 pairs; at most 500 are allowed"), "{message}");
    }
}
