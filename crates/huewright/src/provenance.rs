//! Where numbers come from, and what to beware of.

use crate::engine::{Conditions, Engine, Light};
use library::{FinishFile, Head, MaterialRef, MediumAbove, Optical, Part};
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
            self.range_notes(head, (from, to), &mut notes);
        }
        let own = std::iter::once(&finish.base.material).chain(finish.films.iter().map(|f| &f.material));
        for material in own.chain(finish.over.iter().map(|c| &c.material)) {
            if let MaterialRef::Table { file, wavelength_nm, .. } = material {
                held_notes(file, wavelength_nm, (from, to), &mut notes);
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

    /// Says that a lamp file leaves part of the visible dark.
    pub(crate) fn light_note(&self, conditions: &Conditions) -> Option<String> {
        let Light::Own { name, wavelength_nm, .. } = &conditions.light else { return None };
        let (first, last) = (wavelength_nm[0], wavelength_nm[wavelength_nm.len() - 1]);
        let (from, to) = (self.grid()[0], self.grid()[self.grid().len() - 1]);
        (first > from || last < to).then(|| {
            format!("the lamp {name} runs from {first} to {last} nm; between {from} and {to} nm it is dark beyond")
        })
    }

    /// Says where a table, or a table that this is made of, does not cover the grid.
    fn range_notes(&self, head: &Head, span: (f64, f64), notes: &mut Vec<String>) {
        let parts: Vec<&Part> = match &head.optical {
            Optical::Table { wavelength_nm, .. } => {
                held_notes(&format!("{} ({})", head.material, head.source), wavelength_nm, span, notes);
                Vec::new()
            }
            Optical::SameAs { part, .. } => vec![part],
            Optical::Bruggeman { first, second } => vec![first, second],
            Optical::Stack { inner, outer } => vec![inner, outer],
            Optical::Cauchy { .. } | Optical::DrudeLorentz { .. } => {
                let [low, high] = head.valid_nm;
                if low > span.0 || high < span.1 {
                    let (material, source) = (&head.material, &head.source);
                    notes.push(format!(
                        "{material} ({source}) is valid from {low} to {high} nm; its formula is used beyond"
                    ));
                }
                Vec::new()
            }
        };
        for part in parts {
            if let Ok(other) = self.library().head(&part.material, &part.source) {
                self.range_notes(other, span, notes);
            }
        }
    }

    /// Everything that the colour of `finish` under `conditions` rests on.
    pub(crate) fn sources(&self, finish: &FinishFile, conditions: &Conditions) -> Vec<Source> {
        let mut list: Vec<Source> = self.heads_in(finish).into_iter().map(|h| self.source_of_head(h)).collect();
        list.extend(self.viewing_sources(conditions));
        list
    }

    /// What the chances of a match take for granted beside tables and laws.
    pub(crate) fn doubt_sources(&self) -> Vec<Source> {
        let doubts = self.library().doubts().iter().map(|d| Source {
            what: "doubt".to_owned(),
            which: d.kind.clone(),
            citation: "data/doubt.toml, own judgement".to_owned(),
            status: format!("n +- {} %, k +- {} %, slider +- {}; {}", 100.0 * d.n, 100.0 * d.k, d.composition, d.why),
            caveats: Vec::new(),
        });
        let scatter = Source {
            what: "scatter of composition".to_owned(),
            which: "default".to_owned(),
            citation: "common practice, no source".to_owned(),
            status: format!(
                "+- {} from run to run where the workshop gives no repeatability_composition",
                routes::deposit::REPEATABILITY_COMPOSITION
            ),
            caveats: Vec::new(),
        };
        doubts.chain([scatter]).collect()
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

/// Says that a table is held at an end.
fn held_notes(name: &str, wavelength_nm: &[f64], (from, to): (f64, f64), notes: &mut Vec<String>) {
    let (first, last) = (wavelength_nm[0], wavelength_nm[wavelength_nm.len() - 1]);
    if first > from {
        notes.push(format!("{name} begins at {first} nm; its value there is held down to {from} nm"));
    }
    if last < to {
        notes.push(format!("{name} ends at {last} nm; its value there is held up to {to} nm"));
    }
}
