//! Gauges of sheet and wire: numbers whose meaning depends on the metal.

use crate::embedded::Library;
use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields};

/// What a gauge is the thickness of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Flat.
    Sheet,
    /// Round.
    Wire,
}

impl Form {
    fn word(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Wire => "wire",
        }
    }

    /// The key under which this thickness is given in mm.
    fn key(self) -> &'static str {
        match self {
            Self::Sheet => "thickness_mm",
            Self::Wire => "diameter_mm",
        }
    }
}

/// For which metals a table is meant by the plain word gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct Meaning {
    /// Sheet or wire.
    pub form: Form,
    /// Metals, by id.
    pub of: Vec<String>,
    /// What to know where the trade does not agree.
    pub note: Option<String>,
}

/// One table of gauges.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeTable {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub words: String,
    /// Words that ask for this table whatever the metal.
    pub named: Vec<String>,
    /// Gauges as written, thickest first.
    pub gauges: Vec<String>,
    /// Thickness or diameter of each, mm.
    pub thickness_mm: Vec<f64>,
    /// Weight of each, where a table is one of weights: avoirdupois ounces per square foot.
    pub ounces_per_ft2: Option<Vec<f64>>,
    /// For what it is meant.
    pub meant: Vec<Meaning>,
    /// Where it comes from.
    pub source: String,
}

/// A gauge that was looked up.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauged {
    /// Thickness or diameter, mm.
    pub thickness_mm: f64,
    /// The gauge and its table, in words.
    pub words: String,
    /// What to know where the trade does not agree.
    pub note: Option<String>,
}

/// Reads `data/gauges.toml`.
pub(crate) fn read_gauges(file: &str, text: &str) -> Result<Vec<GaugeTable>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(id, f)| {
            let table = GaugeTable {
                id: id.to_owned(),
                words: f.need_text("words", "words = \"...\"")?.to_owned(),
                named: f.texts("named")?.unwrap_or_default(),
                gauges: f.texts("gauge")?.unwrap_or_default(),
                thickness_mm: f.numbers("thickness_mm")?.unwrap_or_default(),
                ounces_per_ft2: f.numbers("ounces_per_ft2")?,
                meant: f.tables("meant", "meanings", 100)?.into_iter().map(read_meaning).collect::<Result<_, _>>()?,
                source: f.need_text("source", "source = \"...\"")?.to_owned(),
            };
            let rows = table.gauges.len();
            if rows == 0
                || table.thickness_mm.len() != rows
                || table.ounces_per_ft2.as_ref().is_some_and(|w| w.len() != rows)
            {
                let message = "gauge, thickness_mm and ounces_per_ft2 must be lists of equal length".to_owned();
                return Err(f.fault("gauge", Problem::Table { message }));
            }
            f.finish()?;
            Ok(table)
        })
        .collect()
}

fn read_meaning(f: Fields<'_>) -> Result<Meaning, InputError> {
    let form = match f.need_text("form", "form = \"sheet\"")? {
        "sheet" => Form::Sheet,
        "wire" => Form::Wire,
        other => {
            let wanted = "\"sheet\" or \"wire\"".to_owned();
            return Err(f.fault("form", Problem::WrongKind { given: format!("\"{other}\""), wanted }));
        }
    };
    let meaning = Meaning {
        form,
        of: f.texts("of")?.ok_or_else(|| f.missing("of", "of = [\"copper\"]"))?,
        note: f.text("note")?.map(ToOwned::to_owned),
    };
    f.finish()?;
    Ok(meaning)
}

/// Gauges of which no table is here: their numbers must not be read by another.
const WITHOUT_TABLE: [&str; 3] = ["swg", "bwg", "ssg"];

/// The number and the word of a text such as `24 gauge`, `24ga`, `gauge 24` or `20 AWG`; `None` if it is not of this kind.
fn split(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let digits = |c: char| c.is_ascii_digit();
    let (number, word) = if text.starts_with(digits) {
        text.split_at(text.find(|c| !digits(c)).unwrap_or(text.len()))
    } else {
        let at = text.rfind(|c| !digits(c)).map_or(0, |at| at + text[at..].chars().next().map_or(1, char::len_utf8));
        let (word, number) = text.split_at(at);
        (number, word)
    };
    (!number.is_empty()).then(|| (number, word.trim_matches([' ', '-', '.'])))
}

fn is_gauge(word: &str) -> bool {
    ["gauge", "ga", "gage"].iter().any(|w| word.eq_ignore_ascii_case(w))
}

impl Library {
    fn gauge_named(&self, word: &str) -> Option<&GaugeTable> {
        self.gauges().iter().find(|t| t.named.iter().any(|n| n.eq_ignore_ascii_case(word)))
    }

    /// Whether `text` is a gauge and not a length.
    pub(crate) fn is_gauge(&self, text: &str) -> bool {
        split(text).is_some_and(|(_, word)| {
            is_gauge(word)
                || self.gauge_named(word).is_some()
                || WITHOUT_TABLE.iter().any(|w| word.eq_ignore_ascii_case(w))
        })
    }

    /// The thickness that a gauge such as `24 gauge`, `24` or `20 AWG` means for sheet or wire of `metal`.
    ///
    /// # Errors
    /// [`Problem`] when the number is in no table, or the trade gives it no fixed meaning for this metal.
    pub fn gauge(&self, text: &str, metal: &str, form: Form) -> Result<Gauged, Problem> {
        let conflict = |message: String| Problem::Conflict { message };
        let caliper = format!("measure with a caliper and give {} in mm", form.key());
        let Some((number, word)) = split(text) else {
            return Err(conflict(format!("'{text}' is not a gauge; write for instance \"24 gauge\", or {caliper}")));
        };
        let (table, note) = if word.is_empty() || is_gauge(word) {
            let found = self.gauges().iter().find_map(|t| {
                let meant = t.meant.iter().find(|m| m.form == form && m.of.iter().any(|id| id == metal))?;
                Some((t, meant.note.clone()))
            });
            found.ok_or_else(|| {
                let form = form.word();
                conflict(format!("'{text}' has no fixed meaning for {form} of '{metal}'; {caliper}"))
            })?
        } else {
            let named: Vec<&str> = self.gauges().iter().flat_map(|t| &t.named).map(String::as_str).collect();
            let table = self.gauge_named(word).ok_or_else(|| {
                let named = named.join(", ");
                conflict(format!("'{text}': there is no table of '{word}' here (there are gauge, {named}); {caliper}"))
            })?;
            (table, None)
        };
        let at = table.gauges.iter().position(|g| g == number).ok_or_else(|| {
            let (first, last) = (table.gauges.first(), table.gauges.last());
            let ends = |end: Option<&String>| end.map_or_else(String::new, Clone::clone);
            let words = &table.words;
            conflict(format!("'{text}': {words} runs from {} to {}; {caliper}", ends(first), ends(last)))
        })?;
        Ok(Gauged { thickness_mm: table.thickness_mm[at], words: format!("{number} gauge of {}", table.words), note })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;

    #[test]
    fn one_number_means_different_thicknesses() {
        let library = Library::embedded().unwrap();
        let mm = |text: &str, metal: &str, form: Form| library.gauge(text, metal, form).unwrap().thickness_mm;
        // Machinists' tables print these in inches: 0.0201, 0.0250, 0.0239 (from memory).
        assert!((mm("24 gauge", "copper", Form::Sheet) - 0.0201 * 25.4).abs() < 0.0013);
        assert!((mm("24 gauge", "stainless-austenitic", Form::Sheet) - 0.0250 * 25.4).abs() < 0.0013);
        assert!((mm("24 gauge", "carbon-steel", Form::Sheet) - 0.0239 * 25.4).abs() < 0.0013);
        assert!((mm("24 AWG", "carbon-steel", Form::Wire) - 0.0201 * 25.4).abs() < 0.0013);
        assert!(library.gauge("24 gauge", "titanium", Form::Sheet).unwrap().note.unwrap().contains("caliper"));
    }

    #[test]
    fn a_gauge_may_be_spelled_in_any_way() {
        let library = Library::embedded().unwrap();
        for text in ["24 gauge", "24ga", "24 ga.", "24-gauge", "gauge 24", "24 Gauge", "24 awg", "AWG 24", "24 B&S"] {
            assert!(library.is_gauge(text), "{text}");
            let read = library.gauge(text, "silver", Form::Sheet).unwrap();
            assert!((read.thickness_mm - 0.51056).abs() < 1e-9, "{text}");
        }
        for text in ["24 mm", "0.5", "24", "", "gauge", "é", "24.5 gauge"] {
            assert!(!library.is_gauge(text), "{text}");
        }
    }

    #[test]
    fn what_the_trade_does_not_fix_is_refused() {
        let library = Library::embedded().unwrap();
        for (text, metal, form, part) in [
            ("24 gauge", "nickel", Form::Sheet, "no fixed meaning for sheet of 'nickel'; measure with a caliper"),
            ("24 gauge", "carbon-steel", Form::Wire, "diameter_mm"),
            ("24 SWG", "silver", Form::Sheet, "no table of 'SWG'"),
            ("50 gauge", "silver", Form::Sheet, "runs from 0000 to 40"),
            ("thin", "silver", Form::Sheet, "not a gauge"),
        ] {
            let message = library.gauge(text, metal, form).unwrap_err().to_string();
            assert!(message.contains(part), "{text}: {message}");
        }
    }
}
