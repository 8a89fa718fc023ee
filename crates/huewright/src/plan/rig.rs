//! What a step in the bath runs on: supply, bath, growth law and cell; and what of it is the same for every such step.

use super::answer::{Set, StepPlan};
use super::bench::PlanError;
use super::work::{Stop, Work, cannot};
use crate::matching::enumerate::id_of;
use crate::matching::process::{anodise_laws, warmth_note};
use crate::matching::setting_words;
use crate::matching::step::Step;
use crate::ribbon::material_word;
use library::{AnodiseSpec, Anodiser, Bath, Circumstance, Meter, Ripple, SupplyKind};
use routes::Draw;
use routes::bath::Conductivity;
use routes::cell::Cell;
use routes::charge::{Oxide, hydrogen_ml};
use routes::field::HighField;
use routes::supply::{Meter as Reads, Wave, stacked_v};

/// Where the workshop does not say how far the cathode hangs, mm.
const USUAL_GAP_MM: f64 = 50.0;
/// Through the felt or hair of a brush, mm: own judgement.
const BRUSH_GAP_MM: f64 = 5.0;

/// What a bath step runs on.
pub(super) struct Rig<'w> {
    pub(super) supply: Option<&'w Anodiser>,
    pub(super) bath: Option<&'w Bath>,
    pub(super) film: HighField,
    pub(super) cell: Cell,
    pub(super) step: Step,
    /// Greatest volts over the film, and who says so.
    pub(super) greatest: (f64, String),
    pub(super) least_v: f64,
    pub(super) notes: Vec<String>,
    wave: Wave,
    meter: Reads,
}

/// Supply, bath, law and cell of a step; or why it cannot be done.
pub(super) fn rig<'w>(work: &Work<'w>, number: usize, areas: &[usize], spec: &AnodiseSpec) -> Result<Rig<'w>, Stop> {
    if spec.stop_current_a.is_some() && work.size.is_none() {
        let missing = PlanError::Missing {
            step: number,
            what: "part",
            hint: "stop_current_a is that of the whole part: give part = \"part.toml\" or --part",
        };
        return Err(missing.into());
    }
    let supply = work.bench.supply(number, spec.machine.as_deref())?;
    let bath = work.bench.bath(number, spec.bath.as_deref())?;
    let first = &work.areas[areas[0]].finish;
    let metal = id_of(&first.base.material).unwrap_or("an own material");
    let Some(table) = work.engine.library().growth(metal) else {
        let words = format!("{metal} grows no clear colour film in a bath that is known here");
        return Err(cannot(number, "metal", words, None));
    };
    for i in areas {
        let finish = &work.areas[*i].finish;
        let own = finish.films.last().is_none_or(|top| id_of(&top.material) == Some(&table.film));
        if finish.films.len() > 1 || !own || !finish.over.is_empty() {
            let films = finish.films.iter().map(|f| &f.material);
            let covers: Vec<String> = films.chain(finish.over.iter().map(|c| &c.material)).map(material_word).collect();
            let words = format!(
                "'{}' is covered by {}: the bath cannot reach the metal",
                work.areas[*i].name,
                covers.join(", ")
            );
            return Err(cannot(
                number,
                "metal",
                words,
                Some("a step with preparation = \"strip\" before it".to_owned()),
            ));
        }
    }
    if let Some(s) = supply
        && s.isolated == Some(false)
    {
        let words = format!("{} is not isolated from the mains: refused", s.name);
        return Err(cannot(number, "supply", words, Some("an isolated supply".to_owned())));
    }
    let electrolyte = bath.map(|b| b.electrolyte.as_str()).or(spec.electrolyte.as_deref());
    let salt = electrolyte.and_then(|e| work.engine.library().electrolyte(e));
    if let Some(why) = salt.and_then(|e| e.unfit.as_ref()) {
        let words = format!("{}: {why}", electrolyte.unwrap_or("the bath"));
        return Err(cannot(number, "bath", words, Some("a bath of citric acid or ammonium sulfate".to_owned())));
    }
    let bath_c = bath.map_or(table.field.at_c, |b| b.temperature_c);
    let laws = anodise_laws(table, electrolyte, bath_c);
    let Some((law, nominal)) = laws.first().cloned() else {
        let words = format!("no growth law of {metal} fits this bath: run coupons first");
        return Err(cannot(number, "law", words, None));
    };
    let mut notes = vec![
        format!("{}: {}", law.name, law.status),
        table.field.status.clone(),
        table.charge.status.clone(),
        table.charge.efficiency_status.clone(),
    ];
    let mut greatest = (law.valid_v[1], format!("the growth law holds up to {} V", law.valid_v[1]));
    if let Some(s) = supply
        && s.max_voltage_v < greatest.0
    {
        greatest = (s.max_voltage_v, format!("{} gives at most {} V", s.name, s.max_voltage_v));
    }
    if let Some(v) = salt.and_then(|e| e.breakdown_v)
        && v < greatest.0
    {
        greatest = (v, format!("sparks begin from about {v} V in this bath"));
    }
    let film = HighField {
        law: nominal,
        oxide: Oxide {
            electrons: table.charge.valence,
            molar_mass_g: table.charge.molar_mass_g,
            density_g_cm3: table.charge.density_g_cm3,
            efficiency: table.charge.efficiency,
        },
        slope: table.field.field_times_b,
        at_ma_per_cm2: table.field.at_ma_per_cm2,
        at_c: table.field.at_c,
        bath_c,
        // The laws are those of this bath already.
        warms: false,
    };
    notes.extend(warmth_note(table, bath_c));
    let cell = cell(work, supply, bath, spec, &mut notes);
    let step = Step::Anodise {
        supply: supply.cloned().unwrap_or_else(|| nameless(greatest.0)),
        bath: bath.cloned().unwrap_or_else(|| Bath {
            name: "the bath".to_owned(),
            electrolyte: electrolyte.unwrap_or("a bath that is not named").to_owned(),
            percent: None,
            dose: None,
            temperature_c: bath_c,
        }),
        also_in: Vec::new(),
        film: table.film.clone(),
        laws,
        breakdown_v: salt.and_then(|e| e.breakdown_v),
    };
    let (wave, meter) = supply.map_or((Wave::Smooth, Reads::Peak), wave_of);
    Ok(Rig { supply, bath, film, cell, step, greatest, least_v: law.valid_v[0].max(0.0), notes, wave, meter })
}

fn wave_of(supply: &Anodiser) -> (Wave, Reads) {
    let wave = match supply.ripple {
        Ripple::None => Wave::Smooth,
        Ripple::FullWave => Wave::FullWave,
        Ripple::HalfWave => Wave::HalfWave,
    };
    let meter = match supply.meter {
        Meter::Average => Reads::Average,
        Meter::Rms => Reads::Rms,
        Meter::Peak => Reads::Peak,
    };
    (wave, meter)
}

fn nameless(max_voltage_v: f64) -> Anodiser {
    Anodiser {
        name: "the supply".to_owned(),
        kind: SupplyKind::Regulated,
        isolated: None,
        max_voltage_v,
        max_current_a: None,
        repeatability_v: 0.0,
        gap_mm: None,
        spread: 0.0,
        ripple: Ripple::None,
        ripple_given: false,
        meter: Meter::Peak,
        meter_given: false,
        step_v: None,
        internal_ohm: None,
    }
}

/// The cell of a step, with notes on what had to be assumed.
fn cell(
    work: &Work<'_>,
    supply: Option<&Anodiser>,
    bath: Option<&Bath>,
    spec: &AnodiseSpec,
    notes: &mut Vec<String>,
) -> Cell {
    let known_area = work.size.is_some() || spec.brush.is_some();
    let series_ohm = supply.and_then(|s| s.internal_ohm).filter(|_| known_area).unwrap_or(0.0);
    // Without a part only densities are known, and a limit in amperes has no place.
    let most_a = supply.and_then(|s| s.max_current_a).filter(|_| known_area);
    let mut bath_ohm_cm2 = 0.0;
    if let Some(bath) = bath {
        let salt = work.engine.library().electrolyte(&bath.electrolyte);
        match (salt.and_then(|e| e.conductivity.as_ref()), bath.percent) {
            (Some(table), Some(percent)) => {
                let known = Conductivity {
                    percent: table.percent.clone(),
                    ms_per_cm: table.ms_per_cm.clone(),
                    at_c: table.at_c,
                    per_k: table.per_c,
                };
                match known.at(percent, bath.temperature_c) {
                    Some(kappa) => {
                        let usual = if spec.brush.is_some() { BRUSH_GAP_MM } else { USUAL_GAP_MM };
                        let gap = supply.and_then(|s| s.gap_mm).filter(|_| spec.brush.is_none()).unwrap_or(usual);
                        bath_ohm_cm2 = routes::bath::resistance_ohm(kappa, gap, 1.0);
                        notes.push(format!(
                            "bath: {kappa:.1} mS/cm ({}), {gap:.0} mm to the cathode{}, reckoned flat against flat: {bath_ohm_cm2:.0} ohm cm2",
                            table.status,
                            if spec.brush.is_some() || supply.and_then(|s| s.gap_mm).is_none() { " (assumed)" } else { "" }
                        ));
                    }
                    None => notes.push(format!(
                        "conductivity of {} is tabled up to {} %, the bath has {percent} %: its resistance is left out",
                        bath.electrolyte,
                        table.percent.last().copied().unwrap_or(0.0)
                    )),
                }
            }
            (Some(_), None) => notes.push(format!(
                "{}: its strength is not given, so its resistance is left out: add percent or dose",
                bath.name
            )),
            (None, _) => notes.push(format!(
                "no conductivity of {} was found: its resistance is left out, and the current falls slower than told",
                bath.electrolyte
            )),
        }
    }
    Cell { bath_ohm_cm2, series_ohm, most_a, cathode_v: 0.0 }
}

impl Rig<'_> {
    /// The volts that supply, law and bath allow and that the supply can be set to, nearest to `wished`.
    pub(super) fn reachable(&mut self, number: usize, wished: f64) -> Result<f64, Stop> {
        if wished > self.greatest.0 + 1e-9 {
            let limit = if self.greatest.1.starts_with("sparks") {
                "bath"
            } else if self.greatest.1.starts_with("the growth") {
                "law"
            } else {
                "supply"
            };
            let words = format!("{wished:.1} V: {}", self.greatest.1);
            return Err(cannot(number, limit, words, Some(format!("voltage_v = {}", self.most_settable()))));
        }
        if wished <= 0.0 {
            let words = "0 V grow nothing".to_owned();
            return Err(cannot(number, "law", words, Some("a voltage above 0".to_owned())));
        }
        if wished < self.least_v {
            let words = format!("{wished:.1} V: the growth law of this bath begins at {} V", self.least_v);
            return Err(cannot(number, "law", words, Some(format!("voltage_v = {}", self.least_v))));
        }
        let Some((step_v, name)) = self.supply.and_then(|s| Some((s.step_v?, &s.name))) else { return Ok(wished) };
        let given = stacked_v(wished, step_v, self.greatest.0);
        if (given - wished).abs() > 0.01 * step_v {
            // Never rounded in silence: a film that grew too far does not go back.
            let below = (wished / step_v).floor() * step_v;
            let words = format!("{name} comes in steps of {step_v} V: {wished} V lies between two stacks");
            let cells = |v: f64| format!("voltage_v = {v} ({:.0} of them)", v / step_v);
            let above = if below + step_v <= self.greatest.0 {
                format!(", or {}", cells(below + step_v))
            } else {
                String::new()
            };
            let nearest = if below > 0.0 { format!("{}{above}", cells(below)) } else { cells(step_v) };
            return Err(cannot(number, "supply", words, Some(nearest)));
        }
        self.notes.push(format!(
            "{:.0} batteries of {step_v} V; fresh ones give some per cent more than their label, loaded ones less",
            given / step_v
        ));
        Ok(given)
    }

    /// The greatest volts that the supply can be set to.
    fn most_settable(&self) -> f64 {
        let step = self.supply.and_then(|s| s.step_v);
        step.map_or(self.greatest.0, |step| (self.greatest.0 / step).floor() * step)
    }

    /// What the other growth laws of this metal say of the same volts.
    pub(super) fn rivals(&mut self, volts: f64) {
        let Step::Anodise { laws, .. } = &self.step else { return };
        let told: Vec<String> = laws
            .iter()
            .skip(1)
            .map(|(law, anodise)| {
                format!(
                    "sources disagree: by {} nm/V ({}) {volts:.1} V grow {:.0} nm in place of {:.0} nm: run a coupon first",
                    law.ratio_nm_per_v,
                    law.status,
                    anodise.thickness_nm(volts, Draw::default()),
                    self.film.thickness_nm(volts)
                )
            })
            .collect();
        self.notes.extend(told);
    }

    /// What the meter shows when the film sees `crest_v`.
    pub(super) fn reading(&self, crest_v: f64) -> f64 {
        crest_v * self.wave.reading(self.meter)
    }

    fn rms_ripple(&self, crest_v: f64) -> Option<f64> {
        (self.wave != Wave::Smooth).then(|| crest_v * self.wave.reading(Reads::Rms))
    }

    /// The step as far as it is the same for a held voltage and a fade.
    pub(super) fn told(
        &self,
        work: &Work<'_>,
        number: usize,
        areas: &[usize],
        spec: &AnodiseSpec,
        (volts, charge_c): (f64, f64),
    ) -> StepPlan {
        let machine = self.step.machine().to_owned();
        let bath = self.bath.map_or_else(|| "the bath".to_owned(), |b| b.name.clone());
        let names: Vec<String> = areas.iter().map(|i| work.areas[*i].name.clone()).collect();
        let electrolyte = self.bath.map(|b| b.electrolyte.clone()).or_else(|| spec.electrolyte.clone());
        let mut settings = vec![("voltage_v", volts)];
        settings.extend(spec.brush.as_ref().map(|b| ("contact_mm2", b.contact_mm2)));
        settings.extend(spec.fade.as_ref().map(|_| ("lift_mm", 1.0)));
        if work.size.is_some() {
            settings.push(("hydrogen_ml", hydrogen_ml(charge_c)));
        }
        settings.extend(self.rms_ripple(volts).map(|v| ("ripple_rms_v", v)));
        let more = Circumstance {
            materials: vec![self.step.film()],
            electrolyte: electrolyte.as_deref(),
            settings,
            ..Circumstance::default()
        };
        let reading = self.reading(volts);
        let clip = if spec.brush.is_some() { "Clip" } else { "Hang the part in the bath by" };
        let mut todo = vec![format!(
            "{clip} {}a clip of its own metal to the plus side; every contact leaves a mark, so clip where it does not show (common practice).",
            if spec.brush.is_some() { "the part with " } else { "" }
        )];
        if names.len() < work.areas.len() {
            let others: Vec<&str> =
                work.areas.iter().filter(|a| !names.contains(&a.name)).map(|a| a.name.as_str()).collect();
            todo.push(format!(
                "Only {} in the bath: keep {} out of it, or mask it. An area that is finished at a higher voltage needs no mask.",
                names.join(" and "),
                others.join(" and ")
            ));
        }
        if spec.brush.is_none() {
            let gap = self.supply.and_then(|s| s.gap_mm).unwrap_or(USUAL_GAP_MM);
            todo.push(format!(
                "Cathode on the minus side, {gap:.0} mm away, facing the part and as large as it: titanium, stainless or graphite (common practice)."
            ));
        }
        let limit =
            self.supply.and_then(|s| s.max_current_a).map_or(String::new(), |a| format!(", current limit at {a} A"));
        let on_meter = if self.wave == Wave::Smooth {
            format!("Set {}{limit}.", setting_words("voltage_v", volts))
        } else {
            format!(
                "Set the meter to {reading:.1} V{limit}: it reads {}, while the film grows to the crest of {volts:.1} V of the unfiltered {}{}; a capacitor would raise the reading towards the crest.",
                match self.meter {
                    Reads::Average => "the mean",
                    Reads::Rms => "the effective value",
                    Reads::Peak => "the crest",
                },
                if self.wave == Wave::FullWave { "full wave" } else { "half wave" },
                match self.supply {
                    Some(s) if s.ripple_given && s.meter_given => "",
                    _ => " (assumed, as the workshop does not say ripple and meter)",
                }
            )
        };
        todo.push(on_meter);
        let mut watch =
            vec!["Judge the colour dry: wet, the film looks paler and shifted, as the second strip shows.".to_owned()];
        if self.wave != Wave::Smooth {
            watch.push("Times and currents are reckoned as if the crest stood all the time: an unfiltered supply grows the film near its crests alone, more slowly, and the film, which blocks, lets the meter climb above the reading told, which is that of the supply unloaded. Run a coupon first.".to_owned());
        }
        if self.supply.is_some_and(|s| s.kind == SupplyKind::Rectified) && self.wave == Wave::Smooth {
            watch.push("The supply is taken as smooth, as its ripple = \"none\" says.".to_owned());
        }
        StepPlan {
            number,
            kind: "route",
            route: "anodise".to_owned(),
            title: format!(
                "Anodise {} in {bath} ({machine})",
                if names.len() == work.areas.len() { "the part".to_owned() } else { names.join(" and ") }
            ),
            areas: names,
            set: vec![Set {
                key: "voltage_v".to_owned(),
                value: volts,
                words: if self.wave == Wave::Smooth {
                    setting_words("voltage_v", volts)
                } else {
                    format!("{reading:.1} V on the meter, {volts:.1} V at the crest")
                },
                tightest: false,
            }],
            todo,
            watch,
            stop: None,
            seconds: None,
            cautions: work.cautions("anodise", &work.areas[areas[0]].finish, more),
            notes: Vec::new(),
            trace: None,
            passed: Vec::new(),
            lift: None,
            sizing: None,
            lasts: None,
            chamber: None,
        }
    }
}
