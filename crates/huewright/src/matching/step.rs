//! One step of a way: a route on a machine, what it may be set to, and what it does to a finish.

use crate::chamber::flow::FlowMap;
use crate::chamber::grade::Grade;
use library::{
    Anodiser, Bath, Circumstance, Coater, CoaterFilm, CoaterKind, FilmSpec, FinishFile, GrowthLaw, MaterialRef, Oven,
    OxidationLaw, OxidationTable,
};
use routes::Draw;
use routes::anodise::Anodise;
use routes::deposit::Deposit;
use routes::heat::Heat;
use serde_json::{Map, Value, json};

/// Thickest film that a coater is asked for when the workshop does not say, nm. Thicker films show no colour that a
/// thinner one does not.
pub(crate) const THICKEST_NM: f64 = 2_000.0;

/// How thick a film one looks for, when asking whether any machine could do it, nm: some five orders of titania.
const WISHED_NM: f64 = 600.0;

/// A way to change a finish.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Step {
    /// In a bath.
    Anodise {
        supply: Anodiser,
        bath: Bath,
        /// Other baths that obey the same law.
        also_in: Vec<String>,
        film: String,
        laws: Vec<(GrowthLaw, Anodise)>,
        breakdown_v: Option<f64>,
    },
    /// In an oven, in air.
    Heat { oven: Oven, of: String, table: OxidationTable, law: OxidationLaw, heat: Heat },
    /// In a coater.
    Lay {
        coater: Coater,
        film: CoaterFilm,
        /// Composition that may be searched, from and to.
        slider: Option<[f64; 2]>,
        /// Compositions that the family allows.
        range: [f64; 2],
        /// Whether the default table stands beside the family, so that no composition is a choice too.
        table_too: bool,
        /// Composition where it is neither searched nor pinned: the family's default, `None` for a plain table.
        usual: Option<f64>,
        deposit: Deposit,
        /// Gases that are let in for it.
        gases: &'static [&'static str],
        /// Composition that changes while the film grows.
        grade: Option<Grade>,
        /// From the flow of the reactive gas to the composition, where the shop's colours tell it.
        flow: Option<Box<FlowMap>>,
    },
}

/// What a step is set to: the thickness that it shall make, and the composition where that is free.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Setting {
    pub(crate) thickness_nm: f64,
    pub(crate) composition: Option<f64>,
}

/// What one run of a step meets: which of several laws is true, and the deviates.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Chance {
    pub(crate) law: usize,
    pub(crate) draw: Draw,
}

impl Step {
    /// `anodise`, `heat`, `sputter`, `arc`.
    pub(crate) fn route(&self) -> &'static str {
        match self {
            Self::Anodise { .. } => "anodise",
            Self::Heat { .. } => "heat",
            Self::Lay { coater, .. } => match coater.kind {
                CoaterKind::Arc => "arc",
                CoaterKind::Sputter => "sputter",
            },
        }
    }

    /// The film that the step makes.
    pub(crate) fn film(&self) -> &str {
        match self {
            Self::Anodise { film, .. } => film,
            Self::Heat { table, .. } => &table.film,
            Self::Lay { film, .. } => &film.material,
        }
    }

    /// The machine, as the workshop calls it.
    pub(crate) fn machine(&self) -> &str {
        match self {
            Self::Anodise { supply, .. } => &supply.name,
            Self::Heat { oven, .. } => &oven.name,
            Self::Lay { coater, .. } => &coater.name,
        }
    }

    /// Greatest voltage that supply, law and bath allow, and who says so.
    pub(crate) fn greatest_voltage(&self) -> Option<(f64, String)> {
        let Self::Anodise { supply, laws, breakdown_v, bath, .. } = self else { return None };
        let mut limits = vec![
            (supply.max_voltage_v, format!("{} gives at most {} V", supply.name, supply.max_voltage_v)),
            (laws[0].0.valid_v[1], format!("the growth law holds up to {} V", laws[0].0.valid_v[1])),
        ];
        if let Some(v) = breakdown_v {
            limits.push((*v, format!("{} sparks from about {v} V", bath.name)));
        }
        limits.into_iter().min_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// Greatest temperature that oven and law allow.
    fn greatest_temperature(&self) -> f64 {
        match self {
            Self::Heat { oven, law, .. } => oven.max_temperature_c.min(law.valid_c[1]),
            _ => f64::NAN,
        }
    }

    /// Thicknesses that the step can be set to on top of an existing film of the same oxide; `None` when there are none.
    pub(crate) fn allowed_nm(&self, existing_nm: f64) -> Option<[f64; 2]> {
        let range = match self {
            Self::Anodise { laws, .. } => {
                let nominal = laws[0].1;
                let top = nominal.thickness_nm(self.greatest_voltage()?.0, Draw::default());
                let least = laws[0].0.valid_v[0].max(0.0);
                [nominal.thickness_nm(least, Draw::default()).max(existing_nm), top]
            }
            Self::Heat { law, heat, .. } => {
                let hottest = self.greatest_temperature();
                if hottest < law.valid_c[0] {
                    return None;
                }
                let grown = |t, m| heat.grow(t, m, existing_nm, Draw::default()).thickness_nm;
                [grown(law.valid_c[0], law.valid_minutes[0]), grown(hottest, law.valid_minutes[1])]
            }
            Self::Lay { coater, .. } => {
                [coater.thinnest_nm, coater.thickest_nm.unwrap_or(THICKEST_NM.max(coater.thinnest_nm))]
            }
        };
        (range[0] <= range[1]).then_some(range)
    }

    /// Thicknesses that one could wish for, whatever the machine.
    pub(crate) fn wished_nm(&self, existing_nm: f64) -> [f64; 2] {
        match self {
            Self::Lay { .. } => [0.0, WISHED_NM],
            _ => [existing_nm, existing_nm + WISHED_NM],
        }
    }

    /// Temperature and time that make `thickness_nm`: an hour where that serves, else the nearest temperature that is
    /// allowed, for longer or shorter.
    fn heating(&self, thickness_nm: f64, existing_nm: f64) -> Option<(f64, f64)> {
        let Self::Heat { law, heat, .. } = self else { return None };
        let hour = 60.0_f64.clamp(law.valid_minutes[0], law.valid_minutes[1]);
        let wished = heat.temperature_c(thickness_nm, hour, existing_nm)?;
        let allowed = wished.clamp(law.valid_c[0], self.greatest_temperature().max(law.valid_c[0]));
        if (allowed - wished).abs() < 1e-9 {
            return Some((wished, hour));
        }
        Some((allowed, heat.minutes(thickness_nm, allowed, existing_nm)))
    }

    /// Settings as a person turns them: key with unit, value.
    pub(crate) fn settings(&self, setting: Setting, existing_nm: f64) -> Vec<(&'static str, f64)> {
        let mut list = Vec::new();
        match self {
            Self::Anodise { laws, .. } => list.push(("voltage_v", laws[0].1.voltage_v(setting.thickness_nm))),
            Self::Heat { .. } => {
                if let Some((temperature, minutes)) = self.heating(setting.thickness_nm, existing_nm) {
                    list.push(("temperature_c", temperature));
                    list.push(("minutes", minutes));
                }
            }
            Self::Lay { coater, deposit, film, flow, .. } => {
                list.push(("thickness_nm", setting.thickness_nm));
                if let Some(seconds) = deposit.seconds(setting.thickness_nm) {
                    list.push(("seconds", seconds));
                }
                if let Some(composition) = setting.composition.or(film.composition) {
                    list.push(("composition", composition));
                    // The search moves between the flows that were tried; its ends are theirs, but for rounding.
                    let flow = flow.as_ref().and_then(|f| f.flow(composition));
                    list.extend(flow.map(|sccm| ("flow_sccm", sccm)));
                }
                if let Some(t) = coater.part_temperature_c {
                    list.push(("part_temperature_c", t));
                }
            }
        }
        list
    }

    /// Does the step to `finish`. `false` when the film below is used up on the way, so that the step cannot be done.
    pub(crate) fn apply(&self, finish: &mut FinishFile, setting: Setting, chance: Chance) -> bool {
        match self {
            Self::Anodise { laws, film, supply, .. } => {
                let existing = existing_nm(finish, film);
                let voltage = laws[0].1.voltage_v(setting.thickness_nm);
                let (_, law) = laws[chance.law.min(laws.len() - 1)];
                let law = Anodise { repeatability_v: supply.repeatability_v, ..law };
                let grown = law.grow(voltage, existing, chance.draw);
                set_top(finish, film, grown.thickness_nm, supply.spread, None);
                true
            }
            Self::Heat { heat, table, oven, of, .. } => {
                let existing = existing_nm(finish, &table.film);
                let Some((temperature, minutes)) = self.heating(setting.thickness_nm, existing) else { return false };
                let grown = heat.grow(temperature, minutes, existing, chance.draw);
                if !consume(finish, &table.film, of, grown.consumed_nm) {
                    return false;
                }
                set_top(finish, &table.film, grown.thickness_nm, oven.spread, None);
                true
            }
            Self::Lay { coater, film, deposit, range, grade, .. } => {
                let grown = deposit.grow(setting.thickness_nm, chance.draw);
                let composition = setting.composition.or(film.composition);
                let laid = FilmSpec {
                    material: MaterialRef::Library { id: film.material.clone(), source: None },
                    thickness_nm: grown.thickness_nm,
                    thickness_sd_nm: 0.0,
                    spread: coater.spread,
                    porosity: 0.0,
                    composition: composition.map(|c| deposit.composition(c, *range, chance.draw)),
                };
                match grade {
                    // The gas strays for the whole run.
                    Some(grade) => {
                        let shift = deposit.composition_shift(chance.draw);
                        finish.films.extend(grade.films(&laid, shift, *range));
                    }
                    None => finish.films.push(laid),
                }
                true
            }
        }
    }

    /// The step as JSON, for answers and recipes.
    pub(crate) fn json(&self, setting: Setting, existing_nm: f64) -> Value {
        let mut settings = Map::new();
        for (key, value) in self.settings(setting, existing_nm) {
            settings.insert(key.to_owned(), json!(value));
        }
        let mut step = Map::new();
        step.insert("route".to_owned(), json!(self.route()));
        step.insert("machine".to_owned(), json!(self.machine()));
        step.insert("film".to_owned(), json!(self.film()));
        if let Self::Anodise { bath, also_in, .. } = self {
            step.insert("bath".to_owned(), json!(bath.name));
            step.insert("electrolyte".to_owned(), json!(bath.electrolyte));
            if !also_in.is_empty() {
                step.insert("also_in".to_owned(), json!(also_in));
            }
        }
        step.insert("settings".to_owned(), Value::Object(settings));
        if let Self::Anodise { laws, supply, .. } = self
            && laws.len() > 1
        {
            // Where sources disagree, each one's setting stands beside the other.
            let others = laws.iter().skip(1).map(|(law, anodise)| {
                let voltage_v = anodise.voltage_v(setting.thickness_nm);
                json!({ "voltage_v": voltage_v, "law": law.name, "status": law.status,
                        "beyond_supply": voltage_v > supply.max_voltage_v })
            });
            step.insert("by_other_sources".to_owned(), Value::Array(others.collect()));
        }
        Value::Object(step)
    }

    /// What cautions ask about.
    pub(crate) fn circumstance<'c>(
        &'c self,
        materials: &[&'c str],
        unknown_material: bool,
        setting: Setting,
        existing_nm: f64,
    ) -> Circumstance<'c> {
        let mut settings = self.settings(setting, existing_nm);
        if let Self::Anodise { laws, .. } = self {
            settings.extend(laws.iter().skip(1).map(|(_, a)| ("voltage_v", a.voltage_v(setting.thickness_nm))));
        }
        let mut met = materials.to_vec();
        met.push(self.film());
        Circumstance {
            route: self.route(),
            materials: met,
            electrolyte: match self {
                Self::Anodise { bath, .. } => Some(&bath.electrolyte),
                _ => None,
            },
            unknown_material,
            settings,
            gases: match self {
                Self::Lay { gases, .. } => gases.to_vec(),
                _ => Vec::new(),
            },
            ..Circumstance::default()
        }
    }

    /// How many laws disagree about this step, with their weights.
    pub(crate) fn law_weights(&self) -> Vec<f64> {
        match self {
            Self::Anodise { laws, .. } => laws.iter().map(|(law, _)| law.weight).collect(),
            _ => vec![1.0],
        }
    }

    /// Range of the composition that may be set.
    pub(crate) fn slider_range(&self) -> [f64; 2] {
        match self {
            Self::Lay { slider: Some(range), .. } | Self::Lay { range, .. } => *range,
            _ => [0.0, 0.0],
        }
    }

    /// The span of temperature (time held) or of time (temperature held) that makes thicknesses `ends_nm`.
    pub(crate) fn heat_window(
        &self,
        key: &str,
        ends_nm: [f64; 2],
        chosen: Setting,
        existing_nm: f64,
    ) -> Option<(f64, f64)> {
        let Self::Heat { heat, law, .. } = self else { return None };
        let (temperature, minutes) = self.heating(chosen.thickness_nm, existing_nm)?;
        let [low, high] = ends_nm;
        // A window ends where the law or the oven ends.
        let hottest = self.greatest_temperature();
        match key {
            "temperature_c" => {
                let at = |nm| heat.temperature_c(nm, minutes, existing_nm).unwrap_or(temperature);
                Some((at(low).clamp(law.valid_c[0], hottest), at(high).clamp(law.valid_c[0], hottest)))
            }
            "minutes" => {
                let at =
                    |nm| heat.minutes(nm, temperature, existing_nm).clamp(law.valid_minutes[0], law.valid_minutes[1]);
                Some((at(low), at(high)))
            }
            _ => None,
        }
    }
}

/// Thickness of the outermost film; slices of one that is graded count together. `None` without films.
pub(crate) fn outermost_nm(finish: &FinishFile) -> Option<f64> {
    let top = finish.films.last()?;
    Some(finish.films.iter().rev().take_while(|f| f.material == top.material).map(|f| f.thickness_nm).sum())
}

/// Thickness of the outermost film when it is of `id`, else 0.
pub(crate) fn existing_nm(finish: &FinishFile, id: &str) -> f64 {
    finish.films.last().map_or(0.0, |film| if is(film, id) { film.thickness_nm } else { 0.0 })
}

fn is(film: &FilmSpec, wanted: &str) -> bool {
    matches!(&film.material, MaterialRef::Library { id, .. } if id == wanted)
}

/// Takes what a growing `oxide` uses up from the films of `of` below it; `false` when they do not suffice. A graded film is
/// several.
fn consume(finish: &mut FinishFile, oxide: &str, of: &str, nm: f64) -> bool {
    let top = finish.films.len() - usize::from(finish.films.last().is_some_and(|f| is(f, oxide)));
    if !finish.films[..top].last().is_some_and(|f| is(f, of)) {
        // The metal itself, which is endless.
        return true;
    }
    let mut left = nm;
    for film in finish.films[..top].iter_mut().rev().take_while(|f| is(f, of)) {
        let taken = film.thickness_nm.min(left);
        film.thickness_nm -= taken;
        left -= taken;
        if left <= 0.0 {
            return true;
        }
    }
    false
}

fn set_top(finish: &mut FinishFile, id: &str, thickness_nm: f64, spread: f64, composition: Option<f64>) {
    if let Some(top) = finish.films.last_mut()
        && is(top, id)
    {
        top.thickness_nm = thickness_nm;
        // What the run adds is as uneven as the machine makes it.
        top.spread = top.spread.max(spread);
        return;
    }
    finish.films.push(FilmSpec {
        material: MaterialRef::Library { id: id.to_owned(), source: None },
        thickness_nm,
        thickness_sd_nm: 0.0,
        spread,
        porosity: 0.0,
        composition,
    });
}
