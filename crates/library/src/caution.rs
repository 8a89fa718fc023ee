//! Cautions: data with a limit, its source, and when they apply.

use crate::fault::InputError;
use crate::fields::Document;

/// One caution.
#[derive(Debug, Clone, PartialEq)]
pub struct Caution {
    /// Its id.
    pub id: String,
    /// What a person must know, in one or two sentences.
    pub text: String,
    /// Where it comes from.
    pub source: String,
    /// Applies on these routes; empty: on every route.
    pub routes: Vec<String>,
    /// Applies to these bases or films under the work; empty: to all.
    pub materials: Vec<String>,
    /// Applies in these electrolytes; empty: in all.
    pub electrolytes: Vec<String>,
    /// Applies when this setting exceeds this value.
    pub above: Option<(String, f64)>,
}

/// What a step does, as cautions ask about it.
#[derive(Debug, Clone, Default)]
pub struct Circumstance<'c> {
    /// The route.
    pub route: &'c str,
    /// Base and films that the step meets or makes.
    pub materials: Vec<&'c str>,
    /// The bath, if there is one.
    pub electrolyte: Option<&'c str>,
    /// Whether some material is not of the library: its cautions cannot be excluded, so all apply.
    pub unknown_material: bool,
    /// Settings, by key.
    pub settings: Vec<(&'c str, f64)>,
}

impl Caution {
    /// Whether this caution applies to `step`.
    pub fn applies(&self, step: &Circumstance<'_>) -> bool {
        let any = |list: &[String], have: &[&str]| list.is_empty() || list.iter().any(|l| have.contains(&l.as_str()));
        let electrolyte: Vec<&str> = step.electrolyte.into_iter().collect();
        any(&self.routes, &[step.route])
            && (step.unknown_material || any(&self.materials, &step.materials))
            && any(&self.electrolytes, &electrolyte)
            && self.above.as_ref().is_none_or(|(key, limit)| {
                // A setting that is not known is not known to be safe; where sources disagree it stands several times.
                let mut given = step.settings.iter().filter(|(name, _)| name == key).peekable();
                given.peek().is_none() || given.any(|(_, value)| value > limit)
            })
    }
}

pub(crate) fn read_cautions(file: &str, text: &str) -> Result<Vec<Caution>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(id, f)| {
            let above = match (f.text("setting")?, f.number("above")?) {
                (Some(setting), Some(limit)) => Some((setting.to_owned(), limit)),
                (None, None) => None,
                _ => return Err(f.missing("above", "setting = \"voltage_v\" and above = 30")),
            };
            let caution = Caution {
                id: id.to_owned(),
                text: f.need_text("text", "text = \"...\"")?.to_owned(),
                source: f.need_text("source", "source = \"...\"")?.to_owned(),
                routes: f.texts("routes")?.unwrap_or_default(),
                materials: f.texts("materials")?.unwrap_or_default(),
                electrolytes: f.texts("electrolytes")?.unwrap_or_default(),
                above,
            };
            f.finish()?;
            Ok(caution)
        })
        .collect()
}
