//! Where numbers come from, and what to beware of.

use crate::engine::{Conditions, Engine, Light};
use library::{FinishFile, Head, MaterialRef, MediumAbove};
use serde::Serialize;

/// One thing that an answer rests on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Source {
    /// For what: a material id, a light, a law.
    pub what: String,
    /// Which of several: the source's own id.
    pub which: String,
    /// Who published it, where.
    pub citation: String,
    /// How it was obtained, under which conditions, how sure.
    pub status: String,
    /// What to beware of.
    pub caveats: Vec<String>,
}

impl Engine {
    pub(crate) fn source_of_head(&self, head: &Head) -> Source {
        let mut caveats = head.caveats.clone();
        if let Some(why) = &head.stand_in {
            caveats.insert(0, format!("stand-in: {why}"));
        }
        let doi = head.doi.as_ref().map(|d| format!(", DOI {d}")).unwrap_or_default();
        Source {
            what: head.material.clone(),
            which: head.source.clone(),
            citation: format!("{}{doi}", head.citation),
            status: format!("{}; {}; uncertainty {}", head.obtained, head.conditions, head.uncertainty),
            caveats,
        }
    }

    /// The head behind a library material as it is used, or `None` for an own one.
    pub(crate) fn head_of(&self, material: &MaterialRef, composition: Option<f64>) -> Option<&Head> {
        let MaterialRef::Library { id, source } = material else { return None };
        let source = match source {
            Some(source) => source.clone(),
            None => self.source_of(id, None, composition).ok()?.to_owned(),
        };
        self.library().head(id, &source).ok()
    }

    fn heads_in(&self, finish: &FinishFile) -> Vec<&Head> {
        let mut heads: Vec<&Head> = self.head_of(&finish.base.material, None).into_iter().collect();
        heads.extend(finish.films.iter().filter_map(|f| self.head_of(&f.material, f.composition)));
        heads.extend(finish.over.iter().filter_map(|c| self.head_of(&c.material, None)));
        if finish.medium == MediumAbove::Water {
            let water = MaterialRef::Library { id: "water".to_owned(), source: None };
            heads.extend(self.head_of(&water, None));
        }
        let mut seen = Vec::new();
        heads.retain(|h| {
            let key = (h.material.clone(), h.source.clone());
            let fresh = !seen.contains(&key);
            seen.push(key);
            fresh
        });
        heads
    }

    /// Ids in `finish` whose numbers stand in for a table that is missing.
    pub(crate) fn stand_ins(&self, finish: &FinishFile) -> Vec<String> {
        self.heads_in(finish).into_iter().filter(|h| h.stand_in.is_some()).map(|h| h.material.clone()).collect()
    }

    /// What a person should know beside the number: stand-ins, tables held beyond their ends, defaults of families.
    pub(crate) fn notes(&self, finish: &FinishFile) -> Vec<String> {
        let (from, to) = (self.grid()[0], self.grid()[self.grid().len() - 1]);
        let mut notes: Vec<String> = finish.base.texture.assumed.iter().cloned().collect();
        for head in self.heads_in(finish) {
            if let Some(why) = &head.stand_in {
                notes.push(format!("stand-in: {} ({}): {why}", head.material, head.source));
            }
            if let library::Optical::Table { wavelength_nm, .. } = &head.optical {
                let (first, last) = (wavelength_nm[0], wavelength_nm[wavelength_nm.len() - 1]);
                if first > from {
                    notes.push(format!(
                        "{} ({}) begins at {first} nm; its value there is held down to {from} nm",
                        head.material, head.source
                    ));
                }
                if last < to {
                    notes.push(format!(
                        "{} ({}) ends at {last} nm; its value there is held up to {to} nm",
                        head.material, head.source
                    ));
                }
            }
        }
        for film in &finish.films {
            if let MaterialRef::Library { id, .. } = &film.material
                && film.composition.is_none()
                && let Ok(entry) = self.library().entry(id)
                && let Some(family) = &entry.family
                && self.head_of(&film.material, None).is_some_and(|h| h.source == family.source)
            {
                let used = self.composition_of(&film.material, None);
                notes.push(format!("{id}: composition taken as {used} ({})", family.words));
            }
        }
        notes
    }

    /// Everything that the colour of `finish` under `conditions` rests on.
    pub(crate) fn sources(&self, finish: &FinishFile, conditions: &Conditions) -> Vec<Source> {
        let mut list: Vec<Source> = self.heads_in(finish).into_iter().map(|h| self.source_of_head(h)).collect();
        list.extend(self.viewing_sources(conditions));
        list
    }

    pub(crate) fn viewing_sources(&self, conditions: &Conditions) -> Vec<Source> {
        let plain = |what: &str, which: &str, citation: &str, status: &str| Source {
            what: what.to_owned(),
            which: which.to_owned(),
            citation: citation.to_owned(),
            status: status.to_owned(),
            caveats: Vec::new(),
        };
        let mut list = Vec::new();
        match &conditions.light {
            Light::Named(word) => {
                if let Ok(light) = self.light(word) {
                    list.push(plain("light", &light.light, &light.citation, &light.words));
                }
            }
            Light::Own { name, .. } => list.push(plain("light", name, "your own file", "your own lamp")),
        }
        if let Ok(observer) = self.observer(&conditions.observer) {
            list.push(plain("observer", &observer.observer, &observer.citation, &observer.words));
        }
        list.push(plain(
            "reflectance",
            "films on a base",
            "G. B. Airy (1833) in admittance form: H. A. Macleod, Thin-Film Optical Filters, ch. 2",
            "exact for flat, uniform films; checked in docs/accuracy.md",
        ));
        list.push(plain(
            "Lab, differences",
            "CIELAB, CIEDE2000",
            "CIE 015:2018; ISO/CIE 11664-4, 11664-6",
            "checked in docs/accuracy.md",
        ));
        list.push(plain(
            "name",
            "data/colour-names.toml",
            "our own table of trade words",
            "borders judged from W3C CSS named colours and common practice",
        ));
        list
    }
}
