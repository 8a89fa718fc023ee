//! The span of each setting inside which the colour stays near the target.

use super::best::{Best, made};
use super::enumerate::{Candidate, existing_for};
use super::flat::{flat_lab, shifted, unevenness};
use super::step::Setting;
use super::words::span_words;
use crate::engine::Engine;
use crate::finish::Eye;
use colour::{Lab, ciede2000};
use serde::Serialize;

/// A window: `setting` of step number `step` (1-based) from `low` to `high`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Window {
    /// Step, 1-based.
    pub step: usize,
    /// Key with unit.
    pub setting: &'static str,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The difference from the target that holds inside (CIEDE2000).
    pub delta_e_limit: f64,
    /// The span in words, such as `23.0 to 25.2 V`.
    pub words: String,
}

impl Window {
    fn new(step: usize, setting: &'static str, [low, high]: [f64; 2], delta_e_limit: f64) -> Self {
        Self { step, setting, low, high, delta_e_limit, words: span_words(setting, low, high) }
    }
}

/// A step is half a nanometre, or a hundredth of the thickness where films are thick.
const WALK_NM: f64 = 0.5;
const WALK_COMPOSITION: f64 = 0.01;

/// Windows of every setting at `best`, all others held.
pub(crate) fn windows(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    best: &Best,
    target: Lab,
    delta_e_limit: f64,
) -> Vec<Window> {
    let by = unevenness(engine, eye, &best.finish);
    let mut list = Vec::new();
    for (number, step) in candidate.steps.iter().enumerate() {
        let existing = if number == 0 { existing_for(step, &candidate.start) } else { 0.0 };
        let chosen = best.settings[number];
        let difference = |setting: Setting| {
            let mut settings = best.settings.clone();
            settings[number] = setting;
            made(candidate, &settings, &[])
                .and_then(|f| flat_lab(engine, eye, &f))
                .map_or(f64::INFINITY, |lab| ciede2000(shifted(lab, by), target))
        };
        let by_thickness = |t: f64| difference(Setting { thickness_nm: t, ..chosen }) <= delta_e_limit;
        let walk = WALK_NM.max(0.01 * chosen.thickness_nm);
        // A window ends where the machine ends.
        let [least, most] = step.allowed_nm(existing).unwrap_or([chosen.thickness_nm; 2]);
        let low = edge(&by_thickness, chosen.thickness_nm, -walk, least.min(chosen.thickness_nm));
        let high = edge(&by_thickness, chosen.thickness_nm, walk, most.max(chosen.thickness_nm));
        let ends = [low, high].map(|t| step.settings(Setting { thickness_nm: t, ..chosen }, existing));
        for (key, value) in step.settings(chosen, existing) {
            let at = |settings: &[(&'static str, f64)]| settings.iter().find(|s| s.0 == key).map(|s| s.1);
            match (key, at(&ends[0]), at(&ends[1])) {
                ("thickness_nm" | "seconds" | "voltage_v", Some(low), Some(high)) => {
                    list.push(Window::new(number + 1, key, [low.max(0.0), high], delta_e_limit));
                }
                ("temperature_c" | "minutes", _, _) => {
                    if let Some((low, high)) = step.heat_window(key, [low, high], chosen, existing) {
                        list.push(Window::new(number + 1, key, [low, high], delta_e_limit));
                    }
                }
                ("composition", _, _) if chosen.composition.is_some() => {
                    let by_composition =
                        |c: f64| difference(Setting { composition: Some(c), ..chosen }) <= delta_e_limit;
                    let [from, to] = step.slider_range();
                    let low = edge(&by_composition, value, -WALK_COMPOSITION, from);
                    let high = edge(&by_composition, value, WALK_COMPOSITION, to);
                    list.push(Window::new(number + 1, key, [low, high], delta_e_limit));
                }
                _ => {}
            }
        }
    }
    list
}

/// Walks from `start` by `step` while `inside`, up to `bound`; then halves the last step.
fn edge(inside: &impl Fn(f64) -> bool, start: f64, step: f64, bound: f64) -> f64 {
    let mut last = start;
    loop {
        let next = if step > 0.0 { (last + step).min(bound) } else { (last + step).max(bound) };
        if (next - last).abs() < 1e-12 {
            return last;
        }
        if !inside(next) {
            let (mut good, mut bad) = (last, next);
            for _ in 0..14 {
                let middle = 0.5 * (good + bad);
                if inside(middle) { good = middle } else { bad = middle }
            }
            return good;
        }
        last = next;
    }
}
