//! From wanted colours along a part to volts along it.

use super::bench::PlanError;
use super::rig::Rig;
use super::work::{Stop, Work, bears, cannot};
use crate::matching::FEASIBLE_DELTA_E;
use crate::matching::step::{Chance, Setting};
use crate::target::{Target, parse_target};
use colour::{Lab, ciede2000};
use library::{AnodiseAim, FadeSpec};
use routes::lifting::Path;

/// Volts between two that are tried, V.
const STEP_V: f64 = 0.25;

/// A wanted point of a fade.
pub(super) struct Point {
    pub(super) at: f64,
    pub(super) voltage_v: f64,
    pub(super) wanted: Option<Target>,
}

/// A fade as it is to be lifted.
pub(super) struct Fade {
    pub(super) path: Path,
    pub(super) points: Vec<Point>,
}

/// Volts at each place: those given, and those whose colours come nearest while the volts never fall.
pub(super) fn path(
    work: &Work<'_>,
    number: usize,
    areas: &[usize],
    spec: &FadeSpec,
    rig: &Rig<'_>,
) -> Result<Fade, Stop> {
    if areas.len() != 1 {
        return Err(PlanError::FadeAreas { step: number }.into());
    }
    let mut points: Vec<Point> = Vec::new();
    let mut given: Vec<(f64, Option<f64>, Option<Target>)> = Vec::new();
    for stop in &spec.stops {
        given.push(match &stop.aim {
            AnodiseAim::VoltageV(volts) => (stop.at, Some(*volts), None),
            AnodiseAim::Colour(colour) => (stop.at, None, Some(parse_target(work.engine, colour, &work.conditions)?)),
        });
    }
    given.sort_by(|a, b| a.0.total_cmp(&b.0));
    let volts = grid(rig);
    let labs = colours(work, areas[0], rig, &volts)?;
    let costs: Vec<Vec<f64>> = given
        .iter()
        .map(|(_, fixed, wanted)| {
            volts
                .iter()
                .zip(&labs)
                .map(|(v, lab)| match (fixed, wanted) {
                    (Some(f), _) => {
                        let off = (v - f).abs() / STEP_V;
                        if off < 0.501 { 1e-6 * off } else { 1e6 * off }
                    }
                    (None, Some(w)) => {
                        let d = ciede2000(*lab, w.lab);
                        d * d
                    }
                    (None, None) => 0.0,
                })
                .collect()
        })
        .collect();
    let rising = cheapest_rising(&costs);
    if let Some(worst) = misses(work, &given, &rising, &labs) {
        let turned: Vec<Vec<f64>> = costs.iter().rev().cloned().collect();
        let other = cheapest_rising(&turned);
        let backward: Vec<_> = given.iter().rev().cloned().collect();
        let (at, off) = worst;
        let made = |wanted: &Target| {
            labs.iter().any(|lab| bears(work.engine, wanted, *lab) || ciede2000(*lab, wanted.lab) <= FEASIBLE_DELTA_E)
        };
        let least = given.iter().all(|(_, fixed, wanted)| fixed.is_some() || wanted.as_ref().is_none_or(made));
        if least {
            let nearest = if misses(work, &backward, &other, &labs).is_none() {
                "lift the other end first: turn the places round (0 becomes 100)".to_owned()
            } else {
                "two steps with areas = [...]: the part of higher volts first".to_owned()
            };
            let words = format!(
                "each colour can be made, but not in this order along one lift: volts only rise while the part comes out, and the colour at {at:.0} would miss by {off:.1} (CIEDE2000)"
            );
            return Err(cannot(number, "fade", words, Some(nearest)));
        }
        let words = format!(
            "the colour wanted at {at:.0} comes within {off:.1} (CIEDE2000) at best between {:.0} and {:.0} V",
            volts[0],
            volts[volts.len() - 1]
        );
        let name = work
            .engine
            .names()
            .name(labs[rising[given.iter().position(|g| (g.0 - at).abs() < 1e-9).unwrap_or(0)]])
            .to_owned();
        return Err(cannot(
            number,
            "fade",
            words,
            Some(format!("a colour that this bath makes: {name} is the nearest")),
        ));
    }
    for ((at, fixed, wanted), i) in given.into_iter().zip(rising) {
        points.push(Point { at, voltage_v: fixed.unwrap_or(volts[i]), wanted });
    }
    let path = Path::new(points.iter().map(|p| (p.at / 100.0, p.voltage_v)).collect());
    match path {
        Ok(path) => Ok(Fade { path, points }),
        Err(error) => {
            let nearest = "turn the places round: the end of fewer volts leaves first".to_owned();
            Err(cannot(number, "fade", error.to_string(), Some(nearest)))
        }
    }
}

/// Volts that may be set.
fn grid(rig: &Rig<'_>) -> Vec<f64> {
    let step = rig.supply.and_then(|s| s.step_v).unwrap_or(STEP_V);
    // 0 V grow nothing and cannot be set.
    let least = (rig.least_v / step).ceil().max(1.0);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most 400 V")]
    let count = (rig.greatest.0 / step - least).floor().max(0.0) as u32;
    (0..=count).map(|i| (least + f64::from(i)) * step).collect()
}

/// Colour at each of the volts.
pub(super) fn colours(work: &Work<'_>, area: usize, rig: &Rig<'_>, volts: &[f64]) -> Result<Vec<Lab>, Stop> {
    let nm: Vec<f64> = volts.iter().map(|v| rig.film.thickness_nm(*v)).collect();
    let mut finish = work.areas[area].finish.clone();
    rig.step.apply(&mut finish, Setting { thickness_nm: nm[nm.len() - 1], composition: None }, Chance::default());
    let built = work.engine.build(&finish)?;
    Ok(work.eye.see_turned(&built, finish.films.len() - 1, &nm)?.into_iter().map(|s| s.lab).collect())
}

/// Which column to take in each row so that columns never fall and the sum is least.
fn cheapest_rising(costs: &[Vec<f64>]) -> Vec<usize> {
    let Some(columns) = costs.first().map(Vec::len) else { return Vec::new() };
    let mut best: Vec<f64> = vec![0.0; columns];
    let mut from: Vec<Vec<usize>> = Vec::with_capacity(costs.len());
    for row in costs {
        let mut back = Vec::with_capacity(columns);
        let mut next = Vec::with_capacity(columns);
        let mut least = 0;
        for (j, cost) in row.iter().enumerate() {
            if best[j] < best[least] {
                least = j;
            }
            back.push(least);
            next.push(best[least] + cost);
        }
        best = next;
        from.push(back);
    }
    let mut j = (0..columns).min_by(|a, b| best[*a].total_cmp(&best[*b])).unwrap_or(0);
    let mut chosen = vec![0; costs.len()];
    for (i, back) in from.iter().enumerate().rev() {
        chosen[i] = j;
        j = back[j];
    }
    chosen
}

/// The wanted place that is missed most, if any is missed by more than what counts as feasible and does not bear the word
/// that was asked for.
fn misses(
    work: &Work<'_>,
    given: &[(f64, Option<f64>, Option<Target>)],
    chosen: &[usize],
    labs: &[Lab],
) -> Option<(f64, f64)> {
    // Who asked for a trade word gets what bears it.

    given
        .iter()
        .zip(chosen)
        .filter_map(|((at, fixed, wanted), i)| match (fixed, wanted) {
            (None, Some(w)) if !bears(work.engine, w, labs[*i]) => Some((*at, ciede2000(labs[*i], w.lab))),
            _ => None,
        })
        .filter(|(_, off)| *off > FEASIBLE_DELTA_E)
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cheapest_rising_choice_is_found() {
        // By hand: alone, rows would take columns 2 and 1; rising, 2 then 2 (1 + 2) beats 1 then 1 (5 + 0).
        assert_eq!(cheapest_rising(&[vec![9.0, 5.0, 1.0], vec![9.0, 0.0, 2.0]]), vec![2, 2]);
        assert_eq!(cheapest_rising(&[vec![0.0, 9.0], vec![9.0, 0.0]]), vec![0, 1]);
    }
}
