//! Every allowed setting of a way, on the grid that `match` scans and points between.

use super::tally::{CELL, Made, Tally};
use crate::engine::Engine;
use crate::error::Fault;
use crate::finish::Eye;
use crate::matching::best::{Reach, made};
use crate::matching::enumerate::Candidate;
use crate::matching::flat::{flat_lab, is_flat, lab_of, shifted, unevenness};
use crate::matching::space::Space;
use crate::matching::step::Step;
use colour::{Lab, ciede2000};

/// Neighbours of a curve differ by at most this (CIEDE2000) ...
const NEIGHBOURS_DELTA_E: f64 = 2.0;
/// ... and stand at most this far apart in a* and b*: half a cell. Where colours are vivid the difference grows far more
/// slowly than a* and b* do.
const NEIGHBOURS_APART: f64 = 0.5 * CELL;
/// First step of a curve, nm; it is halved where colours move fast.
const CURVE_NM: f64 = 4.0;
/// Step of the outermost film where many lines are walked, nm: what lies between two samples is covered all the same.
const LINE_NM: f64 = 2.5;
/// Below this the halving ends, nm: nobody sets a film finer.
const FINEST_NM: f64 = 0.1;
/// A film that is walked in stretches of so many steps ...
const STRETCH: usize = 64;
/// ... is thick enough to hide all when a stretch stays within this difference of its first colour.
const STILL_DELTA_E: f64 = 0.1;
/// Texture and spread move colours slowly along a line: their shift is worked out at this distance, nm ...
const ANCHOR_NM: f64 = 20.0;
/// ... on so many lines of a way; the lines that follow one take its shift.
const UNEVEN_LINES: usize = 10;

/// What was sampled.
pub(crate) struct Sampled {
    pub(crate) space: Space,
    pub(crate) tally: Tally,
    /// The same without texture and spread, where the way has any.
    pub(crate) ideal: Option<Tally>,
    /// The line itself, where one number alone is turned.
    pub(crate) curve: Option<Vec<Made>>,
    /// Whether texture and spread were added to flat colours as a shift, between anchors.
    pub(crate) by_shift: bool,
}

/// Samples a way; `None` when nothing can be set.
pub(crate) fn sample(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    wanted: Option<Lab>,
    reach: Reach,
) -> Result<Option<Sampled>, Fault> {
    let Some(space) = Space::of(candidate, reach) else { return Ok(None) };
    let hand = Hand { engine, eye, candidate, space: &space };
    let mut tally = Tally::new(wanted);
    let lines = space.dense_outer_points();
    let even = lines.iter().find_map(|x| hand.finish(x)).is_none_or(|f| is_flat(&f));
    let mut ideal = (!even).then(|| Tally::new(wanted));
    if space.size() == 1 {
        let curve = hand.curve(|x| hand.finish(x).and_then(|f| lab_of(engine, eye, &f)));
        tally.add_line(engine, &curve);
        if let Some(ideal) = &mut ideal {
            ideal.add_line(engine, &hand.curve(|x| hand.finish(x).and_then(|f| flat_lab(engine, eye, &f))));
        }
        let empty = curve.is_empty();
        return Ok((!empty).then_some(Sampled { space, tally, ideal, curve: Some(curve), by_shift: false }));
    }
    let mut anchors: Vec<(f64, Lab)> = Vec::new();
    for (i, outer) in lines.iter().enumerate() {
        let flat = hand.line(outer)?;
        let Some(ideal) = &mut ideal else {
            tally.add_line(engine, &flat);
            continue;
        };
        ideal.add_line(engine, &flat);
        // Evenly chosen lines: each i whose share of the whole reaches a new one.
        if lines.len() <= UNEVEN_LINES || i * UNEVEN_LINES % lines.len() < UNEVEN_LINES {
            anchors = hand.anchors(&flat);
        }
        tally.add_line(engine, &hand.moved(&flat, &anchors));
    }
    let empty = tally.most.is_none();
    Ok((!empty).then_some(Sampled { space, tally, ideal, curve: None, by_shift: !even }))
}

/// One way under the sampler.
struct Hand<'h> {
    engine: &'h Engine,
    eye: &'h Eye<'h>,
    candidate: &'h Candidate,
    space: &'h Space,
}

impl Hand<'_> {
    fn finish(&self, x: &[f64]) -> Option<library::FinishFile> {
        made(self.candidate, &self.space.settings(x), &[])
    }

    /// The one number of a way from end to end, as finely as the colour asks.
    fn curve(&self, lab: impl Fn(&[f64]) -> Option<Lab>) -> Vec<Made> {
        let (low, high) = self.space.bounds[0];
        let at = |t: f64| lab(&[t]).map(|lab| Made { x: vec![t], lab });
        let count = steps(low, high, CURVE_NM);
        let mut line: Vec<Made> = Vec::new();
        // What is still to come, the nearest last.
        let mut ahead: Vec<f64> = (0..=count).rev().map(|i| at_step(low, high, i, count)).collect();
        let mut still = 0;
        while let Some(t) = ahead.pop() {
            let Some(point) = at(t) else { continue };
            if let Some(last) = line.last() {
                let (gap, difference) = (t - last.x[0], ciede2000(last.lab, point.lab));
                let apart = libm::hypot(last.lab.a - point.lab.a, last.lab.b - point.lab.b);
                if (difference > NEIGHBOURS_DELTA_E || apart > NEIGHBOURS_APART) && gap > FINEST_NM {
                    ahead.push(t);
                    ahead.push(last.x[0] + 0.5 * gap);
                    continue;
                }
                still = if difference < 0.5 * STILL_DELTA_E { still + 1 } else { 0 };
                // An opaque film shows nothing new; its far end is told all the same.
                if still > STRETCH / 2 && ahead.len() > 1 {
                    ahead.truncate(1);
                }
            }
            line.push(point);
        }
        line
    }

    /// Flat colours along the outermost thickness, all else at `outer`.
    fn line(&self, outer: &[f64]) -> Result<Vec<Made>, Fault> {
        let top = self.space.top;
        let (low, high) = self.space.bounds[top];
        let count = steps(low, high, if top == 0 { self.space.scan_step_nm() } else { LINE_NM });
        #[expect(clippy::cast_precision_loss, reason = "a few thousand steps")]
        let step = if count > 0 { (high - low) / count as f64 } else { 0.0 };
        let point = |t: f64, lab: Lab| {
            let mut x = outer.to_vec();
            x[top] = t;
            Made { x, lab }
        };
        let mut line: Vec<Made> = Vec::new();
        let laid = matches!(self.candidate.steps.last(), Some(Step::Lay { .. }));
        if laid && let Some(finish) = self.finish(outer) {
            let built = self.engine.build(&finish)?;
            let sample = built.sample(built.values(), self.eye.viewing().wavelength_nm());
            if let Some(sweep) = sample.sweep(self.eye.view().tilt_deg, sample.films.len() - 1) {
                let mut from = 0;
                while from <= count {
                    let many = STRETCH.min(count + 1 - from);
                    sweep.walk(at_step(low, high, from, count), step, many, |i, spectrum| {
                        let t = at_step(low, high, from + i, count);
                        line.push(point(t, self.eye.viewing().lab(spectrum)));
                    });
                    let first = line[from].lab;
                    if line[from..].iter().all(|m| ciede2000(first, m.lab) < STILL_DELTA_E) {
                        break;
                    }
                    from += many;
                }
                return Ok(line);
            }
        }
        for i in 0..=count {
            let mut x = outer.to_vec();
            x[top] = at_step(low, high, i, count);
            if let Some(lab) = self.finish(&x).and_then(|f| flat_lab(self.engine, self.eye, &f)) {
                line.push(Made { x, lab });
            }
        }
        Ok(line)
    }

    /// What texture and spread do along a flat line, by the outermost thickness.
    fn anchors(&self, flat: &[Made]) -> Vec<(f64, Lab)> {
        let top = self.space.top;
        let mut anchors: Vec<(f64, Lab)> = Vec::new();
        for (i, point) in flat.iter().enumerate() {
            let due = anchors.last().is_none_or(|(t, _)| point.x[top] - t >= ANCHOR_NM) || i + 1 == flat.len();
            if due && let Some(finish) = self.finish(&point.x) {
                anchors.push((point.x[top], unevenness(self.engine, self.eye, &finish)));
            }
        }
        anchors
    }

    /// A flat line moved by the anchors of this line or one before it, taken as linear between them.
    fn moved(&self, flat: &[Made], anchors: &[(f64, Lab)]) -> Vec<Made> {
        let top = self.space.top;
        let shift = |t: f64| {
            let after = anchors.partition_point(|(at, _)| *at < t).clamp(1, anchors.len().max(2) - 1);
            let (Some((t0, p)), Some((t1, q))) = (anchors.get(after - 1), anchors.get(after)) else {
                return anchors.first().map_or(Lab { l: 0.0, a: 0.0, b: 0.0 }, |(_, by)| *by);
            };
            let share = if t1 > t0 { ((t - t0) / (t1 - t0)).clamp(0.0, 1.0) } else { 0.0 };
            let between = |u: f64, v: f64| u + share * (v - u);
            Lab { l: between(p.l, q.l), a: between(p.a, q.a), b: between(p.b, q.b) }
        };
        flat.iter().map(|m| Made { x: m.x.clone(), lab: shifted(m.lab, shift(m.x[top])) }).collect()
    }
}

/// How many equal steps of at most `step` lead from `low` to `high`.
fn steps(low: f64, high: f64, step: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a positive span of thickness")]
    let count = ((high - low) / step).ceil() as usize;
    count
}

#[expect(clippy::cast_precision_loss, reason = "a few thousand steps")]
fn at_step(low: f64, high: f64, i: usize, count: usize) -> f64 {
    if count == 0 { low } else { (low + (high - low) * i as f64 / count as f64).min(high) }
}
