//! How the chamber of a coater is built: how parts stand and turn in it, and where its targets are.

use crate::fault::{InputError, Problem};
use crate::fields::Fields;
use crate::recipe_step::exclude;

const MAX_TARGETS: usize = 50;
/// What is taken where a load says nothing: own choice, a common table with six satellites. The ratios are not whole, as
/// gears are cut, and their sum is not whole either (5.3 would make it nine), so that no side of a part always meets a target.
const SATELLITES: u32 = 6;
const SATELLITE_RATIO: f64 = 2.7;
const PIN_RATIO: f64 = 5.1;

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

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use crate::{Coater, Library, WorkshopFile};

    /// A workshop with one coater that says `rows` too.
    fn read(rows: &str) -> Result<Coater, String> {
        let library = Library::embedded().unwrap();
        let text = format!(
            "schema = 1\n[[metal]]\nid = \"titanium\"\ntempered_c = \"932 F\"\n[[coater]]\nname = \"magnetron\"\n\
             kind = \"sputter\"\nfilms = [\"tin\"]\nthinnest_nm = 10\n{rows}\n"
        );
        let file = WorkshopFile::read("shop.toml", text.as_bytes(), &library, &|_| {
            Err(std::io::Error::from(std::io::ErrorKind::NotFound))
        });
        let mut workshop = file.map_err(|e| e.to_string())?;
        assert!((workshop.metals[0].tempered_c.unwrap() - 500.0).abs() < 1e-9); // 932 F = 500 C, exact
        Ok(workshop.coaters.remove(0))
    }

    const TABLE: &str = "[coater.load]\nrotation = 1\nrpm = 3\ntable_radius_mm = 250\nheight_mm = 400\n";
    const PLANETS: &str = "[coater.load]\nrotation = 3\nrpm = 2\ntable_radius_mm = 250\nsatellite_radius_mm = 60\nheight_mm = \"40 cm\"\n";
    const TARGET: &str =
        "[[coater.target]]\nbearing_deg = 90\naxis_mm = 380\ntrack_height_mm = 500\ntrack_width_mm = 80\n";

    #[test]
    fn a_coater_that_says_nothing_of_its_chamber_is_as_before() {
        let coater = read("").unwrap();
        assert!(coater.load.is_none() && coater.targets.is_empty() && coater.gases.is_empty());
        assert!(coater.shutter_s == 0.0 && coater.pressure_pa.is_none());
    }

    #[test]
    fn shutter_and_pressure_take_units() {
        let coater = read("shutter_s = \"0.05 min\"\npressure_pa = \"3 mTorr\"").unwrap();
        assert!((coater.shutter_s - 3.0).abs() < 1e-12);
        // 760 Torr are 101325 Pa, exact.
        assert!((coater.pressure_pa.unwrap() - 3e-3 * 101_325.0 / 760.0).abs() < 1e-12);
    }

    #[test]
    fn what_a_load_does_not_say_is_taken() {
        let table = read(&format!("{TABLE}{TARGET}")).unwrap();
        let load = table.load.unwrap();
        assert_eq!((load.rotation, load.rpm, load.satellite_radius_mm), (1, Some(3.0), None));
        assert!((load.reach_mm() - 250.0).abs() < 1e-12 && (load.height_mm - 400.0).abs() < 1e-12);
        let target = &table.targets[0];
        assert!((target.emission - 1.0).abs() < 1e-12 && target.centre_mm == 0.0 && target.groove_mm == 0.0);
        let planets = read(PLANETS).unwrap().load.unwrap();
        assert_eq!((planets.rotation, planets.satellites), (3, 6));
        assert!((planets.satellite_ratio - 2.7).abs() < 1e-12 && (planets.pin_ratio - 5.1).abs() < 1e-12);
        assert!((planets.reach_mm() - 310.0).abs() < 1e-12 && (planets.height_mm - 400.0).abs() < 1e-12);
        let still = read("[coater.load]\nrotation = 0\ntable_radius_mm = 0\nheight_mm = 0").unwrap().load.unwrap();
        assert_eq!((still.rotation, still.rpm), (0, None));
    }

    #[test]
    fn a_chamber_that_cannot_be_is_refused() {
        for (rows, part) in [
            ("[coater.load]\nrpm = 3".to_owned(), "line 10, coater[1].load.rotation: is missing"),
            (TABLE.replace("rotation = 1", "rotation = 4"), "number of turning axes is 4; allowed is 0 to 3"),
            (TABLE.replace("rotation = 1", "rotation = 1.5"), "a whole number of turning axes"),
            (TABLE.replace("rpm = 3\n", ""), "load.rpm: is missing; add for instance `rpm = 3`"),
            (TABLE.replace("rotation = 1", "rotation = 0"), "nothing turns; leave rpm out"),
            (format!("{TABLE}satellites = 4"), "there are no satellites; leave satellites out"),
            (format!("{TABLE}pin_ratio = 4"), "no pin turns; leave pin_ratio out"),
            (TABLE.replace("height_mm = 400\n", ""), "load.height_mm: is missing"),
            (PLANETS.replace("satellite_radius_mm = 60\n", ""), "satellite_radius_mm: is missing"),
            // 250 sin(pi / 6) = 125 mm, exact: six neighbours touch there.
            (
                PLANETS.replace("= 60", "= 126"),
                "run into one another from a satellite_radius_mm of 125.0; this one is 126",
            ),
            (format!("{PLANETS}satelites = 6"), "did you mean 'satellites'?"),
            (TARGET.to_owned(), "coater[1].load: is missing; add for instance `[coater.load]"),
            (format!("{TABLE}{}", TARGET.replace("380", "250")), "target[1].axis_mm: the face is 250 mm from the axis"),
            (format!("{PLANETS}{}", TARGET.replace("380", "305")), "the load reaches 310 mm"),
            (format!("{TABLE}{}", TARGET.replace("bearing_deg = 90\n", "")), "bearing_deg: is missing"),
            (format!("{TABLE}{TARGET}emission = 9"), "exponent of the cosine law is 9; allowed is 0.3 to 5"),
            (format!("{TABLE}{TARGET}track_width = 3"), "did you mean 'track_width_mm'?"),
            ("[coater.target]\nbearing_deg = 0".to_owned(), "[[coater[1].target]], with double brackets"),
            ("pressure_pa = \"3 bar\"".to_owned(), "allowed units: Pa, mbar, mTorr, Torr"),
            ("shutter_s = -1".to_owned(), "repeatability of the shutter is -1 s"),
        ] {
            let message = read(&rows).unwrap_err();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}
