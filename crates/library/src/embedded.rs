//! The data that ride inside the program, read once into values.

use crate::cause::{Cause, read_causes};
use crate::caution::{Caution, read_cautions};
use crate::electrolyte::{Electrolyte, read_electrolytes};
use crate::fault::{InputError, Problem, nearest};
use crate::fields::Document;
use crate::gauge::{GaugeTable, read_gauges};
use crate::growth::{GrowthTable, read_growth};
use crate::material::{Head, read_head};
use crate::names::{NameRow, read_names};
use crate::oxidation::{OxidationTable, read_oxidation};
use crate::preparation::{Preparation, read_preparations};
use crate::register::{Entry, Family, read_register};
use crate::softening::{Softening, read_softening};
use crate::spectra::{LightHead, ObserverHead, read_light_head, read_observer_head};
use crate::texture::{TextureSpec, read_textures};

/// Path below `data/`, and text.
static FILES: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/embedded.rs"));

/// Everything that ships: checked when read, so that later look-ups can only miss by a wrong name.
#[derive(Debug, Clone, PartialEq)]
pub struct Library {
    entries: Vec<Entry>,
    heads: Vec<Head>,
    lights: Vec<LightHead>,
    observers: Vec<ObserverHead>,
    names: Vec<NameRow>,
    growth: Vec<GrowthTable>,
    electrolytes: Vec<Electrolyte>,
    oxidation: Vec<OxidationTable>,
    cautions: Vec<Caution>,
    textures: Vec<TextureSpec>,
    doubts: Vec<Doubt>,
    gauges: Vec<GaugeTable>,
    preparations: Vec<Preparation>,
    softening: Vec<Softening>,
    causes: Vec<Cause>,
}

/// How far an index may lie from its table: standard deviations, as shares of n and k and in the slider.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// `one-table`, `several-tables`, `process`, `stand-in`.
    pub kind: String,
    /// Share of n.
    pub n: f64,
    /// Share of k.
    pub k: f64,
    /// In the composition.
    pub composition: f64,
    /// Why.
    pub why: String,
}

fn file(path: &str) -> Option<&'static str> {
    FILES.binary_search_by(|(name, _)| (*name).cmp(path)).ok().map(|i| FILES[i].1)
}

fn need(path: &str) -> Result<&'static str, InputError> {
    file(path).ok_or_else(|| Problem::Unreadable { reason: "not among the data".to_owned() }.in_file(path))
}

pub(crate) fn below(folder: &str) -> impl Iterator<Item = (&'static str, &'static str)> {
    FILES.iter().filter(move |(name, _)| name.starts_with(folder) && name.ends_with(".toml")).copied()
}

/// Fetches a file that lies beside `head`.
fn beside(head: &str) -> impl Fn(&str) -> Option<&'static str> {
    let folder = head.rsplit_once('/').map_or("", |(folder, _)| folder).to_owned();
    move |name| file(&format!("{folder}/{name}"))
}

impl Library {
    /// Reads the data inside the program.
    ///
    /// # Errors
    /// [`InputError`] when a data file is faulty: a contributor's mistake, found by the tests.
    pub fn embedded() -> Result<Self, InputError> {
        let heads = below("materials/")
            .map(|(name, text)| read_head(name, text, &beside(name)))
            .collect::<Result<Vec<_>, _>>()?;
        let library = Self {
            entries: read_register("materials.toml", need("materials.toml")?)?,
            heads,
            lights: below("lights/")
                .map(|(name, text)| read_light_head(name, text, &beside(name)))
                .collect::<Result<_, _>>()?,
            observers: below("observers/")
                .map(|(name, text)| read_observer_head(name, text, &beside(name)))
                .collect::<Result<_, _>>()?,
            names: read_names("colour-names.toml", need("colour-names.toml")?)?,
            growth: below("growth/").map(|(name, text)| read_growth(name, text)).collect::<Result<_, _>>()?,
            electrolytes: read_electrolytes("electrolytes.toml", need("electrolytes.toml")?)?,
            oxidation: below("oxidation/").map(|(name, text)| read_oxidation(name, text)).collect::<Result<_, _>>()?,
            cautions: read_cautions("cautions.toml", need("cautions.toml")?)?,
            textures: read_textures("textures.toml", need("textures.toml")?)?,
            doubts: read_doubts("doubt.toml", need("doubt.toml")?)?,
            gauges: read_gauges("gauges.toml", need("gauges.toml")?)?,
            preparations: read_preparations("preparations.toml", need("preparations.toml")?)?,
            softening: read_softening("softening.toml", need("softening.toml")?)?,
            causes: read_causes("causes.toml", need("causes.toml")?)?,
        };
        Ok(library)
    }

    /// The register, in its own order.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// The entry of `id`.
    ///
    /// # Errors
    /// [`Problem::UnknownName`] with the nearest id.
    pub fn entry(&self, id: &str) -> Result<&Entry, Problem> {
        self.entries.iter().find(|e| e.id == id).ok_or_else(|| Problem::UnknownName {
            what: "material",
            given: id.to_owned(),
            nearest: nearest(id, self.entries.iter().map(|e| e.id.as_str())),
            hint: "`huewright materials` lists all; or give { n = 2.3, k = 2.9 } or { table = \"my.csv\" }".to_owned(),
        })
    }

    /// All sources of `id`, the default first.
    pub fn sources(&self, id: &str) -> Vec<&Head> {
        let default = self.entries.iter().find(|e| e.id == id).map(|e| e.default.as_str());
        let mut heads: Vec<&Head> = self.heads.iter().filter(|h| h.material == id).collect();
        heads.sort_by_key(|h| Some(h.source.as_str()) != default);
        heads
    }

    /// The sources whose disagreement counts as the uncertainty of `id`, the default first.
    pub fn rivals(&self, id: &str) -> Vec<&Head> {
        let listed = self.entries.iter().find(|e| e.id == id).map_or(&[][..], |e| &e.rivals);
        let mut heads = self.sources(id);
        heads.retain(|h| listed.is_empty() || listed.contains(&h.source));
        heads
    }

    /// One source of `id`.
    ///
    /// # Errors
    /// [`Problem::UnknownName`] with the sources there are.
    pub fn head(&self, id: &str, source: &str) -> Result<&Head, Problem> {
        self.heads.iter().find(|h| h.material == id && h.source == source).ok_or_else(|| {
            let known: Vec<&str> = self.sources(id).iter().map(|h| h.source.as_str()).collect();
            Problem::UnknownName {
                what: "source",
                given: source.to_owned(),
                nearest: nearest(source, known.iter().copied()),
                hint: format!("sources of '{id}': {}", known.join(", ")),
            }
        })
    }

    /// The family of `id` when a composition is given with `source`, if that fits together and is in range.
    ///
    /// # Errors
    /// [`Problem::Conflict`] when the material has no slider, another source was named, or the range is left.
    pub fn family_for(&self, id: &str, source: Option<&str>, composition: f64) -> Result<&Family, Problem> {
        let conflict = |message: String| Problem::Conflict { message };
        let Some(family) = &self.entry(id)?.family else {
            return Err(conflict(format!("'{id}' has no composition to set; leave it out")));
        };
        if let Some(source) = source
            && source != family.source
        {
            return Err(conflict(format!(
                "composition goes with the source '{}' of '{id}', not with '{source}'; leave one of them out",
                family.source
            )));
        }
        let [from, to] = family.range;
        if composition < from || composition > to {
            return Err(conflict(format!(
                "composition of '{id}' is {composition}; allowed is {from} to {to} ({})",
                family.words
            )));
        }
        Ok(family)
    }

    /// All lights.
    pub fn lights(&self) -> &[LightHead] {
        &self.lights
    }

    /// All observers.
    pub fn observers(&self) -> &[ObserverHead] {
        &self.observers
    }

    /// The table of names, in the order in which rows are tried.
    pub fn names(&self) -> &[NameRow] {
        &self.names
    }

    /// What `metal` grows in a bath.
    pub fn growth(&self, metal: &str) -> Option<&GrowthTable> {
        self.growth.iter().find(|g| g.metals.iter().any(|m| m == metal))
    }

    /// Everything that grows in a bath.
    pub fn growths(&self) -> &[GrowthTable] {
        &self.growth
    }

    /// All electrolytes.
    pub fn electrolytes(&self) -> &[Electrolyte] {
        &self.electrolytes
    }

    /// One electrolyte.
    pub fn electrolyte(&self, id: &str) -> Option<&Electrolyte> {
        self.electrolytes.iter().find(|e| e.id == id || e.aliases.iter().any(|a| a.eq_ignore_ascii_case(id)))
    }

    /// One electrolyte.
    ///
    /// # Errors
    /// [`Problem::UnknownName`] with the nearest id.
    pub fn electrolyte_named(&self, id: &str) -> Result<&Electrolyte, Problem> {
        self.electrolyte(id).ok_or_else(|| {
            let known: Vec<&str> = self.electrolytes.iter().map(|e| e.id.as_str()).collect();
            Problem::UnknownName {
                what: "electrolyte",
                given: id.to_owned(),
                nearest: nearest(id, known.iter().copied()),
                hint: format!("known: {}", known.join(", ")),
            }
        })
    }

    /// What `material` (a metal or a film) grows when hot.
    pub fn oxidation(&self, material: &str) -> Option<&OxidationTable> {
        self.oxidation.iter().find(|o| o.of.iter().any(|m| m == material))
    }

    /// All cautions.
    pub fn cautions(&self) -> &[Caution] {
        &self.cautions
    }

    /// From which temperatures `base` loses hardness or is harmed in a coater, the lowest first.
    pub fn softening(&self, base: &str) -> Vec<&Softening> {
        let mut rows: Vec<&Softening> = self.softening.iter().filter(|s| s.of.iter().any(|id| id == base)).collect();
        rows.sort_by(|a, b| a.above_c.total_cmp(&b.above_c));
        rows
    }

    /// Every such temperature.
    pub fn softenings(&self) -> &[Softening] {
        &self.softening
    }

    /// What can be behind a colour that a coater misses.
    pub fn causes(&self) -> &[Cause] {
        &self.causes
    }

    /// How far the index of `head` may lie from what it says, beside the disagreement between tables.
    pub fn doubt(&self, head: &Head) -> Option<&Doubt> {
        let kind = if head.stand_in.is_some() {
            "stand-in"
        } else if self.entry(&head.material).is_ok_and(|e| e.family.is_some()) {
            "process"
        } else if self.rivals(&head.material).len() > 1 {
            "several-tables"
        } else {
            "one-table"
        };
        self.doubts.iter().find(|d| d.kind == kind)
    }

    /// Every kind of doubt.
    pub fn doubts(&self) -> &[Doubt] {
        &self.doubts
    }

    /// Textures with a name.
    pub fn textures(&self) -> &[TextureSpec] {
        &self.textures
    }

    /// Every table of gauges.
    pub fn gauges(&self) -> &[GaugeTable] {
        &self.gauges
    }

    /// What is done to parts before or between the routes.
    pub fn preparations(&self) -> &[Preparation] {
        &self.preparations
    }

    /// One preparation.
    ///
    /// # Errors
    /// [`Problem::UnknownName`] with the nearest id.
    pub fn preparation(&self, id: &str) -> Result<&Preparation, Problem> {
        self.preparations.iter().find(|p| p.id == id).ok_or_else(|| {
            let known: Vec<&str> = self.preparations.iter().map(|p| p.id.as_str()).collect();
            Problem::UnknownName {
                what: "preparation",
                given: id.to_owned(),
                nearest: nearest(id, known.iter().copied()),
                hint: format!("known: {}", known.join(", ")),
            }
        })
    }
}

fn read_doubts(file: &str, text: &str) -> Result<Vec<Doubt>, InputError> {
    let document = Document::parse(file, text)?;
    document
        .fields()
        .each_table()?
        .into_iter()
        .map(|(kind, f)| {
            let doubt = Doubt {
                kind: kind.to_owned(),
                n: f.need_number("n")?,
                k: f.need_number("k")?,
                composition: f.need_number("composition")?,
                why: f.need_text("why", "why = \"...\"")?.to_owned(),
            };
            f.finish()?;
            Ok(doubt)
        })
        .collect()
}
