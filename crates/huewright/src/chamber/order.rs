//! How thick a film comes: by thickness, by time or by turns; and how well that is held.

use super::answer::{Control, Turns, WholeTurns};
use super::load::Loaded;
use library::{Coater, LaySpec};
use routes::turns::{layer_nm as laid_each_turn, nearest_whole};

/// A film whose shutter and turns stray by this share of it is still under control: own choice.
const CONTROLLED: f64 = 0.1;
/// Differences between parts below this are nothing, nm.
const TOLD_NM: f64 = 0.005;
/// Whole turns are advised when they leave less than this share of what a broken one does: own choice.
const HELPS: f64 = 0.7;

/// What one turn of the table lays, nm, where the load turns and the rate is known.
pub(crate) fn layer_nm(coater: &Coater) -> Option<f64> {
    let rpm = coater.load.as_ref()?.rpm.filter(|rpm| *rpm > 0.0)?;
    Some(laid_each_turn(coater.rate_nm_per_min?, rpm))
}

/// The thickness that a step asks for, nm; or why it cannot be told, and what to write.
pub(crate) fn ordered_nm(spec: &LaySpec, coater: &Coater) -> Result<f64, (String, String)> {
    if let Some(nm) = spec.thickness_nm {
        return Ok(nm);
    }
    if let Some(turns) = spec.turns {
        return layer_nm(coater).map(|layer| turns * layer).ok_or_else(|| {
            let words =
                format!("turns = {turns}: {} tells no rate_nm_per_min, or no [coater.load] with rpm", coater.name);
            (words, "thickness_nm = 30".to_owned())
        });
    }
    let seconds = spec.seconds.unwrap_or(0.0);
    coater.rate_nm_per_min.map(|rate| rate * seconds / 60.0).ok_or_else(|| {
        (format!("seconds = {seconds}: {} tells no rate_nm_per_min", coater.name), "thickness_nm = 30".to_owned())
    })
}

/// Turns of the table for a thickness.
pub(crate) fn turns(coater: &Coater, thickness_nm: f64) -> Option<Turns> {
    let (layer_nm, rpm) = (layer_nm(coater)?, coater.load.as_ref()?.rpm?);
    let count = thickness_nm / layer_nm;
    let [below, above] = nearest_whole(thickness_nm, layer_nm);
    let is_whole = below == above;
    let whole: Vec<WholeTurns> = if is_whole { vec![below] } else { vec![below, above] }
        .into_iter()
        .map(|w| WholeTurns { turns: w.turns, thickness_nm: w.thickness_nm, seconds: 60.0 * w.turns / rpm })
        .collect();
    // Where the targets are known, as this chamber does it; else at most one turn.
    let loaded = Loaded::of(coater);
    let spread_nm =
        loaded.as_ref().map_or(if is_whole { 0.0 } else { layer_nm }, |loaded| loaded.spread(count) * thickness_nm);
    let spread_nm = if spread_nm < TOLD_NM { 0.0 } else { spread_nm };
    let mut words = vec![format!(
        "at {rpm} rpm one turn lays {layer_nm:.2} nm: {count:.1} turns{}",
        if is_whole { "" } else { ", of which the last is broken" }
    )];
    if spread_nm > 0.0 {
        words.push(format!("parts that begin elsewhere on the table differ by up to {spread_nm:.2} nm"));
    }
    let spread_whole = |turns: f64| loaded.as_ref().map_or(0.0, |l| l.spread(turns) * thickness_nm);
    let helps = !is_whole && nearest(&whole, thickness_nm).is_some_and(|w| spread_whole(w.turns) < HELPS * spread_nm);
    if spread_nm > CONTROLLED * thickness_nm && !helps {
        words.push(
            "whole turns do not even it out: the gears lock, or the turns are too few; turn faster, or change a ratio"
                .to_owned(),
        );
    }
    if helps {
        let either: Vec<String> = whole
            .iter()
            .map(|w| format!("{:.0} turns ({:.1} nm, {:.1} s)", w.turns, w.thickness_nm, w.seconds))
            .collect();
        words.push(format!(
            "whole turns leave parts more alike: {}{}",
            either.join(" or "),
            if layer_nm > CONTROLLED * thickness_nm { "; or turn faster, or lay more slowly" } else { "" }
        ));
    }
    Some(Turns { rpm, count, layer_nm, whole, spread_nm, helps, words })
}

/// The whole turns whose film is nearest to the one that is ordered.
pub(crate) fn nearest(whole: &[WholeTurns], thickness_nm: f64) -> Option<&WholeTurns> {
    let off = |w: &WholeTurns| (w.thickness_nm - thickness_nm).abs();
    whole.iter().min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// A part begins its turns anywhere: what the broken turn adds is evenly spread.
fn even(nm: f64) -> f64 {
    nm / 12_f64.sqrt()
}

fn shutter_nm(coater: &Coater) -> Option<f64> {
    coater.rate_nm_per_min.filter(|_| coater.shutter_s > 0.0).map(|rate| rate * coater.shutter_s / 60.0)
}

/// What a film of any thickness strays by from the shutter and the broken turn, one standard deviation, nm.
pub(crate) fn stray_nm(coater: &Coater) -> f64 {
    let (shutter, turn) = (shutter_nm(coater).unwrap_or(0.0), layer_nm(coater).map_or(0.0, even));
    (shutter * shutter + turn * turn).sqrt()
}

/// How well a thickness is held.
pub(crate) fn control(coater: &Coater, thickness_nm: f64, turns: Option<&Turns>) -> Control {
    let shutter_nm = shutter_nm(coater);
    let turn_nm = turns.map(|t| even(t.spread_nm));
    let parts = [coater.repeatability * thickness_nm, shutter_nm.unwrap_or(0.0), turn_nm.unwrap_or(0.0)];
    let sd_nm = parts.iter().map(|p| p * p).sum::<f64>().sqrt();
    let fixed = stray_nm(coater);
    let thinnest_controlled_nm = (fixed > 0.0).then_some(fixed / CONTROLLED);
    let mut words = vec![format!("{thickness_nm:.1} nm come within {sd_nm:.1} nm (one standard deviation)")];
    if let Some(thinnest) = thinnest_controlled_nm {
        words.push(format!(
            "the shutter and a broken turn stray by {fixed:.2} nm: films thinner than {thinnest:.1} nm stray by more than a tenth from them alone"
        ));
    }
    if coater.repeatability == 0.0 {
        words.push(format!("{} names no repeatability: chances are told as if it never strayed", coater.name));
    }
    Control {
        repeatability: coater.repeatability,
        shutter_nm,
        turn_nm,
        sd_nm,
        thinnest_nm: coater.thinnest_nm,
        thinnest_controlled_nm,
        words,
    }
}
