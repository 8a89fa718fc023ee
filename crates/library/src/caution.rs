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
    /// Applies to parts for these uses (`skin`, `food`, `child`); empty: whatever the use.
    pub uses: Vec<String>,
    /// Applies to these preparations; empty: to every step.
    pub preparations: Vec<String>,
    /// Applies to these means of a preparation; empty: to all.
    pub means: Vec<String>,
    /// Applies with these gases in the chamber; empty: with all, and with none.
    pub gases: Vec<String>,
    /// Applies when this setting exceeds this value.
    pub above: Option<(String, f64)>,
    /// Whether that setting must be given; otherwise one that is not known counts as exceeded.
    pub when_given: bool,
}

/// What a step does, as cautions ask about it.
#[derive(Debug, Clone, Default)]
pub struct Circumstance<'c> {
    /// The route; empty for a preparation.
    pub route: &'c str,
    /// Base and films that the step meets or makes.
    pub materials: Vec<&'c str>,
    /// The bath, if there is one.
    pub electrolyte: Option<&'c str>,
    /// Whether some material is not of the library: its cautions cannot be excluded, so all apply.
    pub unknown_material: bool,
    /// Settings, by key.
    pub settings: Vec<(&'c str, f64)>,
    /// What the part is for: `skin`, `food`, `child`.
    pub uses: Vec<&'c str>,
    /// The preparation, if the step is one.
    pub preparation: Option<&'c str>,
    /// By which means it is done.
    pub means: Option<&'c str>,
    /// Gases beside argon that are let in: `nitrogen`, `oxygen`, `acetylene`.
    pub gases: Vec<&'c str>,
}

impl Caution {
    /// Whether this caution applies to `step`.
    pub fn applies(&self, step: &Circumstance<'_>) -> bool {
        let any = |list: &[String], have: &[&str]| list.is_empty() || list.iter().any(|l| have.contains(&l.as_str()));
        any(&self.routes, &[step.route])
            && (step.unknown_material || any(&self.materials, &step.materials))
            && any(&self.electrolytes, step.electrolyte.as_slice())
            && any(&self.uses, &step.uses)
            && any(&self.preparations, step.preparation.as_slice())
            && any(&self.means, step.means.as_slice())
            && any(&self.gases, &step.gases)
            && self.above.as_ref().is_none_or(|(key, limit)| {
                // A setting that is not known is not known to be safe; where sources disagree it stands several times.
                let mut given = step.settings.iter().filter(|(name, _)| name == key).peekable();
                (!self.when_given && given.peek().is_none()) || given.any(|(_, value)| value > limit)
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
                uses: f.texts("uses")?.unwrap_or_default(),
                preparations: f.texts("preparations")?.unwrap_or_default(),
                means: f.texts("means")?.unwrap_or_default(),
                gases: f.texts("gases")?.unwrap_or_default(),
                above,
                when_given: f.boolean("when_given")?.unwrap_or(false),
            };
            f.finish()?;
            Ok(caution)
        })
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops where its data are broken")]
mod tests {
    use super::*;
    use crate::embedded::Library;

    fn ids(step: &Circumstance<'_>) -> Vec<String> {
        let library = Library::embedded().unwrap();
        library.cautions().iter().filter(|c| c.applies(step)).map(|c| c.id.clone()).collect()
    }

    fn says(step: &Circumstance<'_>, id: &str) -> bool {
        ids(step).iter().any(|i| i == id)
    }

    /// Touch limits where it is wet, IEC 60598-1:2008, 8.2.3: 30 V smooth, 12 V rms where it swings.
    #[test]
    fn limits_hold_from_their_own_value_on() {
        let smooth = |voltage_v: f64| Circumstance {
            route: "anodise",
            materials: vec!["titanium"],
            settings: vec![("voltage_v", voltage_v)],
            ..Circumstance::default()
        };
        assert!(says(&smooth(30.1), "voltage-30") && !says(&smooth(30.0), "voltage-30"));
        assert!(says(&smooth(60.1), "voltage-60") && !says(&smooth(60.0), "voltage-60"));
        // A supply of which nothing is said here is not told to be rough.
        assert!(!says(&smooth(90.0), "ripple-wet"));
        let rough = |rms: f64| Circumstance { settings: vec![("ripple_rms_v", rms)], ..smooth(9.0) };
        assert!(says(&rough(12.1), "ripple-wet") && !says(&rough(12.0), "ripple-wet"));
        assert!(says(&rough(25.1), "ripple-dry") && !says(&rough(25.0), "ripple-dry"));
    }

    #[test]
    fn preparations_uses_and_means_are_asked() {
        let etch = |means: Option<&'static str>| Circumstance {
            materials: vec!["titanium"],
            preparation: Some("etch"),
            means,
            ..Circumstance::default()
        };
        assert!(says(&etch(Some("hydrofluoric-nitric")), "hydrofluoric-licence"));
        assert!(!says(&etch(Some("pumice")), "hydrofluoric-licence") && !says(&etch(None), "hydrofluoric-licence"));
        // A preparation is no route: what belongs to a bath stays away.
        assert!(!says(&etch(None), "hydrogen") && !says(&etch(None), "isolation"));
        let part = |metal: &'static str, uses: Vec<&'static str>| Circumstance {
            materials: vec![metal],
            uses,
            ..Circumstance::default()
        };
        assert!(says(&part("stainless-austenitic", vec![]), "nickel-skin"));
        assert!(says(&part("stainless-austenitic", vec!["skin"]), "nickel-skin"));
        assert!(says(&part("stainless-austenitic", vec!["skin"]), "nickel-skin-test"));
        assert!(!says(&part("titanium", vec!["skin"]), "nickel-skin"));
        assert!(says(&part("titanium-grade-5", vec!["food"]), "vanadium-food"));
        assert!(says(&part("titanium", vec!["food"]), "food-contact"));
        assert_eq!(ids(&part("titanium", vec!["child"])), ["child-small-parts"]);
        assert!(ids(&part("titanium", vec![])).is_empty(), "{:?}", ids(&part("titanium", vec![])));
    }

    #[test]
    fn a_chamber_has_cautions_of_its_own_and_of_its_gases() {
        let lay = |film: &'static str, gases: Vec<&'static str>| Circumstance {
            route: "sputter",
            materials: vec!["stainless-austenitic", film],
            gases,
            settings: vec![("part_temperature_c", 250.0)],
            ..Circumstance::default()
        };
        for id in ["coater-gas", "coater-glass", "coater-voltage", "coater-hot", "coater-shields", "coater-hollow"] {
            assert!(says(&lay("tin", vec![]), id), "{id}");
            assert!(!says(&Circumstance { route: "anodise", ..lay("tin", vec![]) }, id), "{id}");
        }
        assert!(!says(&lay("carbon-hard", vec![]), "coater-shields"));
        let cool = Circumstance { settings: vec![("part_temperature_c", 90.0)], ..lay("tin", vec![]) };
        assert!(!says(&cool, "coater-hot") && !says(&cool, "coater-brazed"));
        // A temperature that is not known is not known to be low.
        assert!(says(&Circumstance { settings: vec![], ..cool }, "coater-hot"));
        for (gas, id) in [("oxygen", "gas-oxygen"), ("acetylene", "gas-acetylene")] {
            assert!(says(&lay("tin", vec!["nitrogen", gas]), id), "{id}");
            assert!(!says(&lay("tin", vec!["nitrogen"]), id) && !says(&lay("tin", vec![]), id), "{id}");
        }
    }
}
