//! Which machine does a step, and recipes that cannot be read.

use library::{Anodiser, Bath, Coater, CoaterKind, Oven, WorkshopFile};

/// A recipe that cannot be planned as it is written.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// A machine that the workshop does not have.
    #[error("step {step}: there is no {what} called '{given}' in the workshop; it has: {known}")]
    NoMachine {
        /// From 1.
        step: usize,
        /// What kind.
        what: &'static str,
        /// What was given.
        given: String,
        /// What there is.
        known: String,
    },
    /// Several could be meant.
    #[error("step {step}: the workshop has several: {known}; say which with {key} = \"...\"")]
    Which {
        /// From 1.
        step: usize,
        /// The key to give.
        key: &'static str,
        /// What there is.
        known: String,
    },
    /// Something that the step needs.
    #[error("step {step}: {what} is missing: {hint}")]
    Missing {
        /// From 1.
        step: usize,
        /// The key.
        what: &'static str,
        /// What to write.
        hint: &'static str,
    },
    /// Neither a start nor a part.
    #[error(
        "the recipe does not say what is coloured: give [start.base] with material = \"titanium\", or part = \"part.toml\""
    )]
    NoStart,
    /// Neither steps nor what would be needed to propose them.
    #[error(
        "the recipe has no [[step]]: write one, or give a workshop with a bath (workshop = \"shop.toml\" or --workshop) and wanted colours, and the steps are proposed"
    )]
    NoSteps,
    /// An area without a colour, where steps are to be proposed.
    #[error(
        "area '{area}' says no colour: give wanted = \"gold\" (or [wanted] with colour), so that steps can be proposed"
    )]
    NoWanted {
        /// Its name.
        area: String,
    },
    /// A fade along several areas.
    #[error("step {step}: a fade runs along one area: name it with areas = [\"...\"]")]
    FadeAreas {
        /// From 1.
        step: usize,
    },
}

fn pick<'w, T>(
    step: usize,
    (what, key): (&'static str, &'static str),
    given: Option<&str>,
    list: &'w [T],
    name: impl Fn(&T) -> &str,
) -> Result<Option<&'w T>, PlanError> {
    let known = || list.iter().map(|t| format!("'{}'", name(t))).collect::<Vec<_>>().join(", ");
    match given {
        Some(given) => list.iter().find(|t| name(t) == given).map(Some).ok_or_else(|| PlanError::NoMachine {
            step,
            what,
            given: given.to_owned(),
            known: if list.is_empty() { "none".to_owned() } else { known() },
        }),
        None if list.len() > 1 => Err(PlanError::Which { step, key, known: known() }),
        None => Ok(list.first()),
    }
}

/// The workshop of a plan; without one, steps are reckoned with what they say themselves.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bench<'w> {
    pub(super) workshop: Option<&'w WorkshopFile>,
}

impl<'w> Bench<'w> {
    pub(super) fn supply(&self, step: usize, given: Option<&str>) -> Result<Option<&'w Anodiser>, PlanError> {
        let Some(w) = self.workshop else { return Ok(None) };
        pick(step, ("supply", "machine"), given, &w.anodisers, |a| &a.name)
    }

    pub(super) fn bath(&self, step: usize, given: Option<&str>) -> Result<Option<&'w Bath>, PlanError> {
        let Some(w) = self.workshop else { return Ok(None) };
        pick(step, ("bath", "bath"), given, &w.baths, |b| &b.name)
    }

    pub(super) fn oven(&self, step: usize, given: Option<&str>) -> Result<Option<&'w Oven>, PlanError> {
        let Some(w) = self.workshop else { return Ok(None) };
        pick(step, ("oven", "machine"), given, &w.ovens, |o| &o.name)
    }

    /// The coater; without a name the one of this kind that lays `film`.
    pub(super) fn coater(
        &self,
        step: usize,
        given: Option<&str>,
        kind: CoaterKind,
        film: &str,
    ) -> Result<Option<&'w Coater>, PlanError> {
        let Some(w) = self.workshop else { return Ok(None) };
        if given.is_some() {
            return pick(step, ("coater", "machine"), given, &w.coaters, |c| &c.name);
        }
        Ok(w.coaters.iter().find(|c| c.kind == kind && c.films.iter().any(|f| f.material == film)))
    }
}
