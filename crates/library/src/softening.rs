//! Temperatures from which a base loses its hardness or is harmed in a coater.

use crate::fault::InputError;
use crate::fields::Document;

/// One such temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Softening {
    /// Its id.
    pub id: String,
    /// Bases that it concerns.
    pub of: Vec<String>,
    /// From where on, C.
    pub above_c: f64,
    /// What happens, in words.
    pub words: String,
    /// Who says so.
    pub source: String,
    /// How well this is known.
    pub status: String,
}

pub(crate) fn read_softening(file: &str, text: &str) -> Result<Vec<Softening>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(id, f)| {
            let row = Softening {
                id: id.to_owned(),
                of: f.texts("of")?.ok_or_else(|| f.missing("of", "of = [\"brass-70-30\"]"))?,
                above_c: f.need_number("above_c")?,
                words: f.need_text("words", "words = \"...\"")?.to_owned(),
                source: f.need_text("source", "source = \"...\"")?.to_owned(),
                status: f.need_text("status", "status = \"common practice\"")?.to_owned(),
            };
            f.finish()?;
            Ok(row)
        })
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::{Library, Role};

    #[test]
    fn every_row_concerns_a_base_and_says_how_well_it_is_known() {
        let library = Library::embedded().unwrap();
        for row in library.softenings() {
            assert!(!row.of.is_empty(), "{}", row.id);
            assert!(row.of.iter().all(|id| library.serves_as(id, Role::Base)), "{} names no base", row.id);
            assert!((50.0..=1400.0).contains(&row.above_c), "{}", row.id);
            // The letter of the status follows the number, as the file's head says.
            assert!(["(S2)", "(CP)", "(D, CP)"].iter().any(|letter| row.status.ends_with(letter)), "{}", row.id);
        }
    }

    /// Limits of bases in a coater: trade article (brass, CP), public notes (aluminium, titanium, CP), furnace maker's guide
    /// (O1 from 350 F, 4140 from 400 F, H13 from 1000 F, S2), AISI table 11-3 (M2 from 540 C, S2).
    #[test]
    fn limits_are_those_that_were_read() {
        let library = Library::embedded().unwrap();
        let lowest = |base: &str| library.softening(base).first().map(|row| row.above_c);
        assert_eq!(
            (lowest("brass-70-30"), lowest("aluminium"), lowest("titanium")),
            (Some(180.0), Some(150.0), Some(450.0))
        );
        assert_eq!((lowest("carbon-steel"), lowest("niobium")), (Some(177.0), None));
        let of = |id: &str| library.softenings().iter().find(|row| row.id == id).unwrap().above_c;
        for (id, fahrenheit) in [("steel-o1", 350.0), ("steel-w1", 350.0), ("steel-4140", 400.0), ("steel-h13", 1000.0)]
        {
            assert!((of(id) - (fahrenheit - 32.0) / 1.8).abs() <= 0.5, "{id}"); // whole degrees
        }
        assert!((of("steel-m2") - 540.0).abs() < 1e-9 && (of("steel-rule") - 500.0).abs() < 1e-9);
        let rows = library.softening("carbon-steel");
        assert!(rows.windows(2).all(|two| two[0].above_c <= two[1].above_c));
    }

    #[test]
    fn a_row_without_its_temperature_or_source_is_refused() {
        let row = "schema = 1\n[a]\nof = [\"titanium\"]\nwords = \"w\"\nstatus = \"CP\"\n";
        for (rows, part) in [
            (row.to_owned(), "a.above_c: is missing"),
            (format!("{row}above_c = 400"), "a.source: is missing"),
            (format!("{row}above_c = 400\nsource = \"s\"\nbelow_c = 3"), "'below_c' is not known here"),
        ] {
            let message = read_softening("softening.toml", &rows).unwrap_err().to_string();
            assert!(message.contains(part), "{rows}: {message}");
        }
    }
}
