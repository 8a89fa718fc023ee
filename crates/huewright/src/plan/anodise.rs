//! A step in the bath.

use super::answer::{Set, StepPlan};
use super::bench::PlanError;
use super::sizing::sizing;
use super::trace::{Row, in_order, passed, trace};
use super::work::{Stop, Work, cannot};
use super::{fade, lifting};
use crate::matching::enumerate::id_of;
use crate::matching::process::anodise_laws;
use crate::matching::setting_words;
use crate::matching::step::{Chance, Setting, Step, existing_nm};
use crate::ribbon::material_word;
use library::{AnodiseSpec, Anodiser, Bath, Circumstance, Meter, Ripple, SupplyKind};
use routes::anodising::{Course, Drive, Moment, Stop as Until, anodise as run};
use routes::bath::Conductivity;
use routes::cell::{Cell, Zone};
use routes::charge::Oxide;
use routes::field::HighField;
use routes::supply::{Meter as Reads, Wave, stacked_v};

/// Where the workshop does not say how far the cathode hangs, mm.
const USUAL_GAP_MM: f64 = 50.0;
/// Longest wait for a voltage to be reached, s.
const LONGEST_S: f64 = 600.0;
/// Growth below this is none, nm: far less than any eye or law tells.
const UNGROWN_NM: f64 = 0.05;
/// Error of each step in time, nm.
pub(super) const TOLERANCE_NM: f64 = 1e-4;

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

pub(super) fn anodise(
    work: &mut Work<'_>,
    number: usize,
    areas: &[usize],
    spec: &AnodiseSpec,
) -> Result<StepPlan, Stop> {
    let mut rig = rig(work, number, areas, spec)?;
    if let Some(wanted) = &spec.fade {
        let fade = fade::path(work, number, areas, wanted, &rig)?;
        return lifting::lift(work, number, areas[0], (spec, wanted), rig, &fade);
    }
    let wished = spec.voltage_v.ok_or(PlanError::Missing {
        step: number,
        what: "voltage_v",
        hint: "voltage_v = 25, or [[step.along]] for a fade",
    })?;
    let volts = rig.reachable(number, wished)?;
    let whole = work.whole_cm2();
    let zones: Vec<Zone> = match &spec.brush {
        Some(brush) => vec![Zone {
            area_cm2: brush.contact_mm2 / 100.0,
            thickness_nm: existing_nm(&work.areas[areas[0]].finish, rig.step.film()),
        }],
        None => areas
            .iter()
            .map(|i| Zone {
                area_cm2: whole * work.areas[*i].share,
                thickness_nm: existing_nm(&work.areas[*i].finish, rig.step.film()),
            })
            .collect(),
    };
    let aim = rig.film.thickness_nm(volts);
    let thinnest =
        (0..zones.len()).min_by(|a, b| zones[*a].thickness_nm.total_cmp(&zones[*b].thickness_nm)).unwrap_or(0);
    if zones[thinnest].thickness_nm > aim - 0.5 {
        let there = zones[thinnest].thickness_nm;
        let needed = (there - rig.film.law.offset_nm) / rig.film.ratio_nm_per_v();
        let words = format!(
            "the film is {there:.0} nm already, what {needed:.1} V grow; {volts:.1} V neither thicken nor thin it (a finished film does not grow at a lower voltage)"
        );
        return Err(cannot(number, "order", words, Some(format!("voltage_v above {needed:.1}, or strip it first"))));
    }
    let ramp = spec.ramp_v_per_s.unwrap_or(f64::INFINITY);
    let brought_up_s = if ramp.is_finite() { volts / ramp } else { 0.0 };
    let stroke = spec.brush.as_ref().map(|b| f64::from(b.passes) * b.contact_mm2.sqrt() / b.speed_mm_per_s);
    let until = Until {
        after_s: stroke.unwrap_or_else(|| spec.hold_s.map_or(brought_up_s + LONGEST_S, |s| brought_up_s + s)),
        current_a: spec.stop_current_a.map(|a| (a, brought_up_s)),
        // Left to itself, a step ends when the film is what the growth law says for this voltage.
        thickness_nm: (stroke.is_none() && spec.hold_s.is_none() && spec.stop_current_a.is_none())
            .then_some((thinnest, aim)),
    };
    let drive = Drive {
        voltage_v: &|t| if ramp.is_finite() { (ramp * t).min(volts) } else { volts },
        immersed: &|_, _| 1.0,
        longest_s: f64::INFINITY,
    };
    let course = run(&rig.film, &rig.cell, &zones, &drive, until, TOLERANCE_NM);
    let end = course.end().clone();

    let mut step = rig.told(work, number, areas, spec, volts);
    let before = work.areas[areas[thinnest.min(areas.len() - 1)]].finish.clone();
    for (zone, i) in areas.iter().enumerate() {
        let thickness_nm = end.thickness_nm[zone.min(end.thickness_nm.len() - 1)];
        grow(work, *i, number, &rig.step, thickness_nm);
    }
    let mut growing = before;
    rig.step.apply(
        &mut growing,
        Setting { thickness_nm: end.thickness_nm[thinnest], composition: None },
        Chance::default(),
    );
    let rows: Vec<Row> = course.moments.iter().map(|m| row(m, thinnest)).collect();
    let trace = trace(work, &growing, &rows)?;
    step.passed = passed(&trace);
    step.trace = Some(trace);
    step.seconds = Some(end.time_s);
    let wet_cm2: f64 = zones.iter().map(|z| z.area_cm2).sum();
    step.sizing = if spec.brush.is_some() { None } else { sizing(work, rig.supply, &course, wet_cm2, volts) };
    step.watch.extend(watch(&step, &course, work.size.is_some() || spec.brush.is_some()));
    if let Some(brush) = &spec.brush {
        rig.notes.extend(brushed(
            &rig,
            &zones,
            volts,
            aim,
            brush.contact_mm2.sqrt(),
            brush.passes,
            end.thickness_nm[0],
        ));
    } else {
        step.stop = Some(stop_words(spec, &end, work.size.is_some()));
        if spec.hold_s.is_none() && spec.stop_current_a.is_none() && end.thickness_nm[thinnest] < aim - 0.5 {
            rig.notes.push(format!(
                "after {LONGEST_S:.0} s the film is {:.0} nm of the {aim:.0} nm that the voltage grows in the end: the supply is weak for this area",
                end.thickness_nm[thinnest]
            ));
        }
    }
    step.notes = rig.notes;
    Ok(step)
}

/// Puts the grown film on an area.
pub(super) fn grow(work: &mut Work<'_>, area: usize, number: usize, step: &Step, thickness_nm: f64) {
    let area = &mut work.areas[area];
    // A finished area that the voltage does not reach is none of this step's making.
    if thickness_nm - existing_nm(&area.finish, step.film()) < UNGROWN_NM {
        return;
    }
    let setting = Setting { thickness_nm, composition: None };
    step.apply(&mut area.finish, setting, Chance::default());
    area.chain.push((number, step.clone(), setting));
    area.along = None;
}

pub(super) fn row(m: &Moment, zone: usize) -> Row {
    Row {
        time_s: m.time_s,
        thickness_nm: m.thickness_nm[zone],
        voltage_v: Some(m.set_v),
        current_a: Some(m.current_a),
        charge_c: Some(m.charge_c),
        temperature_c: None,
    }
}

/// Supply, bath, law and cell of a step; or why it cannot be done.
fn rig<'w>(work: &Work<'w>, number: usize, areas: &[usize], spec: &AnodiseSpec) -> Result<Rig<'w>, Stop> {
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
            let covers: Vec<String> = finish.films.iter().map(|f| material_word(&f.material)).collect();
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
    let laws = anodise_laws(table, electrolyte);
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
    let bath_c = bath.map_or(20.0, |b| b.temperature_c);
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
        warms: table.field.per_kelvin,
    };
    if (bath_c - film.at_c).abs() > 5.0 && film.warms {
        notes.push(format!(
            "at {bath_c:.0} C the ratio is taken as {:.3} of that at {:.0} C: in proportion to absolute temperature (rule from memory, sign published for tantalum and niobium)",
            film.ratio_nm_per_v() / nominal.ratio_nm_per_v,
            film.at_c
        ));
    }
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
    let series_ohm = supply.and_then(|s| s.internal_ohm).unwrap_or(0.0);
    // Without a part only densities are known, and a limit in amperes has no place.
    let most_a = if work.size.is_some() || spec.brush.is_some() { supply.and_then(|s| s.max_current_a) } else { None };
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
                        let gap = supply.and_then(|s| s.gap_mm).unwrap_or(USUAL_GAP_MM);
                        bath_ohm_cm2 = routes::bath::resistance_ohm(kappa, gap, 1.0);
                        notes.push(format!(
                            "bath: {kappa:.1} mS/cm ({}), {gap:.0} mm to the cathode{}, reckoned flat against flat: {bath_ohm_cm2:.0} ohm cm2",
                            table.status,
                            if supply.and_then(|s| s.gap_mm).is_none() { " (assumed)" } else { "" }
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
            return Err(cannot(number, limit, words, Some(format!("voltage_v = {:.1}", self.greatest.0))));
        }
        if wished < self.least_v {
            let words = format!("{wished:.1} V: the growth law of this bath begins at {} V", self.least_v);
            return Err(cannot(number, "law", words, Some(format!("voltage_v = {:.1}", self.least_v))));
        }
        let Some((step_v, name)) = self.supply.and_then(|s| Some((s.step_v?, &s.name))) else { return Ok(wished) };
        let given = stacked_v(wished, step_v, self.greatest.0);
        if (given - wished).abs() > 1e-6 {
            self.notes.push(format!(
                "{name} comes in steps of {step_v} V: {given:.0} V instead of {wished:.1} V; fresh cells give some per cent more than their label, loaded ones less"
            ));
        }
        Ok(given)
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
        volts: f64,
    ) -> StepPlan {
        let machine = self.step.machine().to_owned();
        let bath = self.bath.map_or_else(|| "the bath".to_owned(), |b| b.name.clone());
        let names: Vec<String> = areas.iter().map(|i| work.areas[*i].name.clone()).collect();
        let electrolyte = self.bath.map(|b| b.electrolyte.clone()).or_else(|| spec.electrolyte.clone());
        let mut settings = vec![("voltage_v", volts)];
        settings.extend(self.rms_ripple(volts).map(|v| ("ripple_rms_v", v)));
        let more = Circumstance {
            materials: vec![self.step.film()],
            electrolyte: electrolyte.as_deref(),
            settings,
            ..Circumstance::default()
        };
        let reading = self.reading(volts);
        let mut todo = vec!["Hang the part by a clip of its own metal, which grows a film too; every contact leaves a mark, so clip where it does not show (common practice).".to_owned()];
        if names.len() < work.areas.len() {
            let others: Vec<&str> =
                work.areas.iter().filter(|a| !names.contains(&a.name)).map(|a| a.name.as_str()).collect();
            todo.push(format!(
                "Only {} in the bath: keep {} out of it, or mask it. An area that is finished at a higher voltage needs no mask.",
                names.join(" and "),
                others.join(" and ")
            ));
        }
        if let Some(gap) = self.supply.and_then(|s| s.gap_mm) {
            todo.push(format!("Cathode {gap:.0} mm away, facing the part, and as large as it."));
        }
        let limit =
            self.supply.and_then(|s| s.max_current_a).map_or(String::new(), |a| format!(", current limit at {a} A"));
        let on_meter = if self.wave == Wave::Smooth {
            format!("Set {}{limit}.", setting_words("voltage_v", volts))
        } else {
            format!(
                "Set the meter to {reading:.1} V{limit}: it reads {}, while the film grows to the crest of {volts:.1} V of the unfiltered {} (assumed without any smoothing; a capacitor raises the reading towards the crest).",
                match self.meter {
                    Reads::Average => "the mean",
                    Reads::Rms => "the effective value",
                    Reads::Peak => "the crest",
                },
                if self.wave == Wave::FullWave { "full wave" } else { "half wave" }
            )
        };
        todo.push(on_meter);
        let mut watch =
            vec!["Judge the colour dry: wet, the film looks paler and shifted, as the second strip shows.".to_owned()];
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
        }
    }
}

fn amperes(a: f64, whole: bool) -> String {
    let text = if a >= 1.0 {
        format!("{a:.1} A")
    } else if a >= 0.1 {
        format!("{a:.2} A")
    } else {
        format!("{:.1} mA", 1e3 * a)
    };
    if whole { text } else { format!("{text} for each cm2") }
}

fn watch(step: &StepPlan, course: &Course, whole: bool) -> Vec<String> {
    let end = course.end();
    let mut words = vec![format!(
        "The current begins at {} and falls to {} in {:.0} s; while it falls, bath and leads take less and less of the voltage.",
        amperes(course.peak_a(), whole),
        amperes(end.current_a, whole),
        end.time_s
    )];
    if step.passed.len() > 1 {
        words.push(format!("Colours pass in this order: {}.", in_order(&step.passed)));
    }
    words
}

fn stop_words(spec: &AnodiseSpec, end: &Moment, whole: bool) -> String {
    match (spec.stop_current_a, spec.hold_s) {
        (Some(a), _) => format!("when the ammeter has fallen to {}", amperes(a, whole)),
        (None, Some(s)) => {
            format!("after {s:.0} s at the voltage; the current is then {}", amperes(end.current_a, whole))
        }
        (None, None) => format!(
            "when the current has fallen to {}; waiting for none at all would give the colour of a slightly higher voltage",
            amperes(end.current_a, whole)
        ),
    }
}

/// What a moving contact makes, and how slow it must be.
fn brushed(
    rig: &Rig<'_>,
    zones: &[Zone],
    volts: f64,
    aim: f64,
    width_mm: f64,
    passes: u32,
    grown_nm: f64,
) -> Vec<String> {
    let drive = Drive { voltage_v: &|_| volts, immersed: &|_, _| 1.0, longest_s: f64::INFINITY };
    let until = Until { after_s: LONGEST_S, current_a: None, thickness_nm: Some((0, 0.98 * aim)) };
    let full = run(&rig.film, &rig.cell, zones, &drive, until, TOLERANCE_NM).end().time_s;
    let slowest = f64::from(passes) * width_mm / full;
    let mut notes = vec![format!(
        "a contact {width_mm:.0} mm wide stays on a spot until the film is within 2 % when it moves at {slowest:.1} mm/s or slower ({passes} pass{})",
        if passes == 1 { "" } else { "es" }
    )];
    if grown_nm < 0.97 * aim {
        notes.push(format!("as written it grows {grown_nm:.0} nm of {aim:.0} nm: go slower, or over it more often"));
    }
    notes.push("strokes that overlap do no harm: a spot that is finished does not grow further at the same voltage; write upward, from the lowest voltage to the highest (common practice)".to_owned());
    notes
}
