//! The best settings of a way: every order is scanned, the best valleys are refined.

use super::enumerate::Candidate;
use super::flat::{flat_lab, is_flat, lab_of, shifted, unevenness};
use super::space::Space;
use super::step::{Chance, Setting, Step};
use crate::engine::Engine;
use crate::error::Fault;
use crate::finish::Eye;
use crate::search::valleys;
use colour::{Lab, ciede2000};
use library::FinishFile;

/// Scan step of the outermost thickness, nm: colours turn over several nm.
pub(super) const SCAN_NM: f64 = 1.0;
/// Two settings of one film this far apart make the colour in different orders, and are different ways.
const ORDERS_NM: f64 = 40.0;
/// Valleys that are walked down a little.
const VALLEYS: usize = 48;
const SHORT_EVALUATIONS: usize = 30;
/// Of these, how many are followed to the bottom.
const REFINED: usize = 6;
/// A valley of the scan that lies this much above the best is not refined.
const PROMISING: f64 = 8.0;
pub(super) const REFINE_EVALUATIONS: usize = 250;
/// Where texture or spread makes each colour dear: how many are refined by the true colour, in how many rounds.
const TRUE_REFINED: usize = 3;
const TRUE_ROUNDS: usize = 3;

/// Which thicknesses count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reach {
    /// What the machines allow.
    Allowed,
    /// What one could wish for.
    Wished,
}

/// Settings of each step, what they make, and how far it is from the target.
#[derive(Debug, Clone)]
pub(crate) struct Best {
    pub(crate) settings: Vec<Setting>,
    pub(crate) finish: FinishFile,
    pub(crate) lab: Lab,
    pub(crate) delta_e: f64,
}

/// What the steps make of the start, nominally; `None` when a step cannot be done.
pub(crate) fn made(candidate: &Candidate, settings: &[Setting], chances: &[Chance]) -> Option<FinishFile> {
    made_from(candidate.start.clone(), candidate, settings, chances)
}

/// The same from another start.
pub(crate) fn made_from(
    start: FinishFile,
    candidate: &Candidate,
    settings: &[Setting],
    chances: &[Chance],
) -> Option<FinishFile> {
    let mut finish = start;
    for (i, (step, setting)) in candidate.steps.iter().zip(settings).enumerate() {
        let chance = chances.get(i).copied().unwrap_or_default();
        if !step.apply(&mut finish, *setting, chance) {
            return None;
        }
    }
    Some(finish)
}

/// The settings within `reach` whose colour is nearest to `target`, then those of other orders (see [`ORDERS_NM`]);
/// empty when nothing can be set.
///
/// # Errors
/// [`Fault`] when a material is not known.
pub(crate) fn bests(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    target: Lab,
    reach: Reach,
) -> Result<Vec<Best>, Fault> {
    let Some(space) = Space::of(candidate, reach) else { return Ok(Vec::new()) };
    let hunt = Hunt { engine, eye, candidate, space, target };
    let starts = hunt.starts()?;
    let found = hunt.followed(starts);
    let mut kept: Vec<Best> = Vec::new();
    for (x, value) in found {
        let x = hunt.space.plainest(&|x| hunt.difference(x), x, value);
        let settings = hunt.space.settings(&x);
        let Some(finish) = made(candidate, &settings, &[]) else { continue };
        let Some(lab) = lab_of(engine, eye, &finish) else { continue };
        let another_order = hunt.space.size() == 1
            && kept.iter().all(|k| (k.settings[0].thickness_nm - settings[0].thickness_nm).abs() > ORDERS_NM);
        if kept.is_empty() || another_order {
            kept.push(Best { settings, finish, lab, delta_e: ciede2000(lab, target) });
        }
    }
    Ok(kept)
}

/// The nearest alone.
///
/// # Errors
/// As [`bests`].
pub(crate) fn best(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    target: Lab,
    reach: Reach,
) -> Result<Option<Best>, Fault> {
    Ok(bests(engine, eye, candidate, target, reach)?.into_iter().next())
}

/// Numbers of a space, and the difference from the target there.
type Spot = (Vec<f64>, f64);

/// One search.
struct Hunt<'h> {
    engine: &'h Engine,
    eye: &'h Eye<'h>,
    candidate: &'h Candidate,
    space: Space,
    target: Lab,
}

impl Hunt<'_> {
    fn made(&self, x: &[f64]) -> Option<FinishFile> {
        made(self.candidate, &self.space.settings(x), &[])
    }

    fn difference(&self, x: &[f64]) -> f64 {
        let lab = self.made(x).and_then(|f| lab_of(self.engine, self.eye, &f));
        lab.map_or(f64::INFINITY, |lab| ciede2000(lab, self.target))
    }

    fn flat_difference(&self, x: &[f64]) -> f64 {
        let lab = self.made(x).and_then(|f| flat_lab(self.engine, self.eye, &f));
        lab.map_or(f64::INFINITY, |lab| ciede2000(lab, self.target))
    }

    /// The promising valleys of the scans, best first.
    fn starts(&self) -> Result<Vec<Vec<f64>>, Fault> {
        let mut all: Vec<Spot> = Vec::new();
        for outer in self.space.outer_points() {
            let line = scan(self.engine, self.eye, self.candidate, &self.space, &outer, self.target)?;
            for i in valleys(&line.values).into_iter().take(VALLEYS) {
                let mut x = outer.clone();
                x[self.space.top] = line.at(i);
                all.push((x, line.values[i]));
            }
        }
        let promising = all.iter().map(|s| s.1).fold(f64::INFINITY, f64::min) + PROMISING;
        all.retain(|s| s.1 <= promising);
        Ok(self.apart(all, VALLEYS).into_iter().map(|(x, _)| x).collect())
    }

    /// The best spots that do not share a valley.
    fn apart(&self, mut spots: Vec<Spot>, most: usize) -> Vec<Spot> {
        spots.sort_by(|a, b| a.1.total_cmp(&b.1));
        let mut kept: Vec<Spot> = Vec::new();
        for (x, value) in spots {
            if kept.len() < most && kept.iter().all(|(y, _)| self.space.apart(&x, y)) {
                kept.push((x, value));
            }
        }
        kept
    }

    /// Walks every start down a little, and the best to the bottom; best first.
    fn followed(&self, starts: Vec<Vec<f64>>) -> Vec<Spot> {
        let flat = |x: &[f64]| self.flat_difference(x);
        let short = starts.into_iter().map(|x| self.space.refine(&flat, x, SHORT_EVALUATIONS)).collect();
        let followed = self.apart(short, REFINED).into_iter();
        let mut found: Vec<Spot> = followed.map(|(x, _)| self.space.refine(&flat, x, REFINE_EVALUATIONS)).collect();
        let even = found.first().and_then(|(x, _)| self.made(x)).is_some_and(|f| is_flat(&f));
        if !even {
            // Flat colours only led the way: the best few are judged by the true colour, and moved until they stay.
            for spot in &mut found {
                spot.1 = self.difference(&spot.0);
            }
            found.sort_by(|a, b| a.1.total_cmp(&b.1));
            found.truncate(TRUE_REFINED);
            for spot in &mut found {
                self.settle(spot);
            }
        }
        found.sort_by(|a, b| a.1.total_cmp(&b.1));
        found
    }

    /// Moves a spot by the flat colour plus what texture and spread do there, as long as the true colour gains.
    fn settle(&self, spot: &mut Spot) {
        for _ in 0..TRUE_ROUNDS {
            let Some(finish) = self.made(&spot.0) else { return };
            let by = unevenness(self.engine, self.eye, &finish);
            let near = |x: &[f64]| {
                let lab = self.made(x).and_then(|f| flat_lab(self.engine, self.eye, &f));
                lab.map_or(f64::INFINITY, |lab| ciede2000(shifted(lab, by), self.target))
            };
            let (x, _) = self.space.refine(&near, spot.0.clone(), REFINE_EVALUATIONS);
            let value = self.difference(&x);
            if value >= spot.1 {
                return;
            }
            *spot = (x, value);
        }
    }
}

/// Differences along a line of thicknesses.
struct Line {
    from: f64,
    step: f64,
    values: Vec<f64>,
}

impl Line {
    #[expect(clippy::cast_precision_loss, reason = "a few thousand steps")]
    fn at(&self, i: usize) -> f64 {
        self.from + self.step * i as f64
    }
}

/// Scans the outermost thickness with all else at `outer`.
///
/// A film laid on top has the closed form of the sweep; texture and spread are then left to the refinement. Everything
/// else (a growing oxide that consumes what lies below) is evaluated point by point.
fn scan(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    space: &Space,
    outer: &[f64],
    target: Lab,
) -> Result<Line, Fault> {
    let (low, high) = space.bounds[space.top];
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a positive span of thickness")]
    let count = (((high - low) / space.scan_step_nm()).ceil() as usize).max(1) + 1;
    #[expect(clippy::cast_precision_loss, reason = "a few thousand steps")]
    let step = (high - low) / (count - 1) as f64;
    let mut line = Line { from: low, step, values: vec![f64::INFINITY; count] };
    let settings = space.settings(outer);
    let simple = matches!(candidate.steps.last(), Some(Step::Lay { .. })) && space.size() > 1;
    if simple && let Some(finish) = made(candidate, &settings, &[]) {
        let built = engine.build(&finish)?;
        let sample = built.sample(built.values(), eye.viewing().wavelength_nm());
        if let Some(sweep) = sample.sweep(eye.view().tilt_deg, sample.films.len() - 1) {
            sweep.walk(low, step, count, |i, spectrum| {
                line.values[i] = ciede2000(eye.viewing().lab(spectrum), target);
            });
            return Ok(line);
        }
    }
    let mut x = outer.to_vec();
    for i in 0..count {
        x[space.top] = line.at(i).min(high);
        let lab = made(candidate, &space.settings(&x), &[]).and_then(|f| flat_lab(engine, eye, &f));
        line.values[i] = lab.map_or(f64::INFINITY, |lab| ciede2000(lab, target));
    }
    Ok(line)
}
