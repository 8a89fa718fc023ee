//! The best settings of a way: every order is scanned, the best valleys are refined.

use super::enumerate::{Candidate, existing_for};
use super::step::{Chance, Setting, Step};
use crate::engine::Engine;
use crate::error::Fault;
use crate::finish::{Eye, Values};
use crate::search::{downhill, least_on_line, valleys};
use colour::{Lab, ciede2000};
use library::FinishFile;

/// Scan step of the outermost thickness, nm: colours turn over several nm.
const SCAN_NM: f64 = 1.0;
/// Valleys that are walked down a little.
const VALLEYS: usize = 48;
const SHORT_EVALUATIONS: usize = 30;
/// Of these, how many are followed to the bottom.
const REFINED: usize = 6;
/// A valley of the scan that lies this much above the best is not refined.
const PROMISING: f64 = 8.0;
const REFINE_EVALUATIONS: usize = 250;
/// Sizes of the simplex when it is set up anew, as shares of the first.
const RESTARTS: [f64; 2] = [0.1, 1.0];
/// Where texture or spread makes each colour dear: how many are refined by the true colour, in how many rounds.
const TRUE_REFINED: usize = 3;
const TRUE_ROUNDS: usize = 3;
/// Thicknesses of the film below that a scan tries, nm (those that are allowed, and both ends). Nitrides hide what lies
/// below beyond some 200 nm; the refinement moves freely between.
const BELOW_NM: [f64; 9] = [5.0, 15.0, 30.0, 50.0, 75.0, 110.0, 160.0, 250.0, 500.0];
/// Compositions that a scan tries.
const COMPOSITIONS: u32 = 17;

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
    let mut finish = candidate.start.clone();
    for (i, (step, setting)) in candidate.steps.iter().zip(settings).enumerate() {
        let chance = chances.get(i).copied().unwrap_or_default();
        if !step.apply(&mut finish, *setting, chance) {
            return None;
        }
    }
    Some(finish)
}

/// Lab of a finish; `None` when the optics refuses it (a roughness out of range is reported before any search).
pub(crate) fn lab_of(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Option<Lab> {
    let built = engine.build(finish).ok()?;
    eye.lab(&built, built.values()).ok()
}

/// Lab of the same finish, flat and even: without texture and spread, which cost a hundred times as much.
pub(crate) fn flat_lab(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Option<Lab> {
    let built = engine.build(finish).ok()?;
    let mut values = built.values().clone();
    flatten(&mut values);
    eye.lab(&built, &values).ok()
}

/// Takes texture and spread away.
pub(crate) fn flatten(values: &mut Values<f64>) {
    values.slope_deg = 0.0;
    for film in &mut values.films {
        film.spread = 0.0;
    }
}

/// What texture and spread do to the colour of `finish`. Near it, a flat colour plus this stands for the true one.
pub(crate) fn unevenness(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Lab {
    match (lab_of(engine, eye, finish), flat_lab(engine, eye, finish)) {
        (Some(true_lab), Some(flat)) => Lab { l: true_lab.l - flat.l, a: true_lab.a - flat.a, b: true_lab.b - flat.b },
        _ => Lab { l: 0.0, a: 0.0, b: 0.0 },
    }
}

/// A flat colour with what texture and spread add.
pub(crate) fn shifted(flat: Lab, by: Lab) -> Lab {
    Lab { l: flat.l + by.l, a: flat.a + by.a, b: flat.b + by.b }
}

/// The settings within `reach` whose colour is nearest to `target`; `None` when nothing can be set.
///
/// # Errors
/// [`Fault`] when a material is not known.
pub(crate) fn best(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    target: Lab,
    reach: Reach,
) -> Result<Option<Best>, Fault> {
    let Some(space) = Space::of(candidate, reach) else { return Ok(None) };
    let made_at = |x: &[f64]| made(candidate, &space.settings(x), &[]);
    let difference = |x: &[f64]| {
        made_at(x).and_then(|f| lab_of(engine, eye, &f)).map_or(f64::INFINITY, |lab| ciede2000(lab, target))
    };
    let flat_difference = |x: &[f64]| {
        made_at(x).and_then(|f| flat_lab(engine, eye, &f)).map_or(f64::INFINITY, |lab| ciede2000(lab, target))
    };
    let mut starts: Vec<(f64, Vec<f64>)> = Vec::new();
    for outer in space.outer_points() {
        let line = scan(engine, eye, candidate, &space, &outer, target)?;
        for i in valleys(&line.values).into_iter().take(VALLEYS) {
            let mut x = outer.clone();
            x[space.top] = line.at(i);
            starts.push((line.values[i], x));
        }
    }
    starts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let starts_found = std::mem::take(&mut starts);
    for (value, x) in starts_found {
        if starts.len() < VALLEYS && starts.iter().all(|(_, y)| space.apart(&x, y)) {
            starts.push((value, x));
        }
    }
    let promising = starts.first().map_or(0.0, |s| s.0) + PROMISING;
    starts.retain(|s| s.0 <= promising);
    let even = made_at(&space.bounds.iter().map(|b| b.1).collect::<Vec<_>>()).is_some_and(|f| is_flat(&f));
    let mut short: Vec<(Vec<f64>, f64)> =
        starts.into_iter().map(|(_, x)| space.refine(&flat_difference, x, SHORT_EVALUATIONS)).collect();
    short.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut followed: Vec<(Vec<f64>, f64)> = Vec::with_capacity(REFINED);
    for (x, value) in short {
        if followed.len() < REFINED && followed.iter().all(|(y, _)| space.apart(&x, y)) {
            followed.push((x, value));
        }
    }
    let mut refined: Vec<(Vec<f64>, f64)> =
        followed.into_iter().map(|(x, _)| space.refine(&flat_difference, x, REFINE_EVALUATIONS)).collect();
    if !even {
        // Flat colours only led the way: the best few are judged by the true colour, and moved until they stay.
        for found in &mut refined {
            found.1 = difference(&found.0);
        }
        refined.sort_by(|a, b| a.1.total_cmp(&b.1));
        refined.truncate(TRUE_REFINED);
        for found in &mut refined {
            for _ in 0..TRUE_ROUNDS {
                let Some(finish) = made_at(&found.0) else { break };
                let by = unevenness(engine, eye, &finish);
                let near = |x: &[f64]| {
                    made_at(x)
                        .and_then(|f| flat_lab(engine, eye, &f))
                        .map_or(f64::INFINITY, |lab| ciede2000(shifted(lab, by), target))
                };
                let (x, _) = space.refine(&near, found.0.clone(), REFINE_EVALUATIONS);
                let value = difference(&x);
                if value >= found.1 {
                    break;
                }
                *found = (x, value);
            }
        }
    }
    let Some((x, value)) = refined.into_iter().min_by(|a, b| a.1.total_cmp(&b.1)) else { return Ok(None) };
    let x = if even { space.plainest(&flat_difference, x, value) } else { space.plainest(&difference, x, value) };
    let settings = space.settings(&x);
    let Some(finish) = made(candidate, &settings, &[]) else { return Ok(None) };
    let Some(lab) = lab_of(engine, eye, &finish) else { return Ok(None) };
    Ok(Some(Best { settings, finish, lab, delta_e: ciede2000(lab, target) }))
}

fn is_flat(finish: &FinishFile) -> bool {
    finish.base.texture.slope_deg <= 0.0 && finish.films.iter().all(|f| f.spread <= 0.0)
}

/// The numbers that may be turned: thickness of each step, then the composition of the last where it is free.
struct Space {
    bounds: Vec<(f64, f64)>,
    /// Which number is the outermost thickness.
    top: usize,
    /// Which number is the composition.
    slider: Option<usize>,
    steps: usize,
    /// Composition of each step where it is not searched.
    usual: Vec<Option<f64>>,
    /// The step's default table may stand beside its family (`tin`): compositions are then optional.
    table_too: bool,
}

impl Space {
    fn of(candidate: &Candidate, reach: Reach) -> Option<Self> {
        let mut bounds = Vec::new();
        for (i, step) in candidate.steps.iter().enumerate() {
            let existing = if i == 0 { existing_for(step, &candidate.start) } else { 0.0 };
            let range = match reach {
                Reach::Allowed => step.allowed_nm(existing)?,
                // Only the outermost film is wished for; what lies below it stays as the machine makes it.
                Reach::Wished if i + 1 == candidate.steps.len() => step.wished_nm(existing),
                Reach::Wished => step.allowed_nm(existing)?,
            };
            bounds.push((range[0], range[1]));
        }
        let steps = candidate.steps.len();
        let mut slider = None;
        let mut table_too = false;
        if let Some(Step::Lay { slider: Some([from, to]), film, .. }) = candidate.steps.last() {
            slider = Some(bounds.len());
            bounds.push((*from, *to));
            table_too = film.material == "tin";
        }
        let usual =
            candidate.steps.iter().map(|step| if let Step::Lay { usual, .. } = step { *usual } else { None }).collect();
        Some(Self { bounds, top: steps - 1, slider, steps, usual, table_too })
    }

    fn settings(&self, x: &[f64]) -> Vec<Setting> {
        (0..self.steps)
            .map(|i| Setting {
                thickness_nm: x[i],
                composition: match self.slider {
                    // NaN: no composition, the default table.
                    Some(s) if i + 1 == self.steps => Some(x[s]).filter(|c| !c.is_nan()),
                    _ => self.usual[i],
                },
            })
            .collect()
    }

    /// Every combination of what is not the outermost thickness.
    fn outer_points(&self) -> Vec<Vec<f64>> {
        let mut points = vec![self.bounds.iter().map(|b| b.0).collect::<Vec<f64>>()];
        for (i, (low, high)) in self.bounds.iter().enumerate() {
            let values: Vec<f64> = if i == self.top {
                continue;
            } else if Some(i) == self.slider {
                let mut list: Vec<f64> = (0..COMPOSITIONS)
                    .map(|c| low + (high - low) * f64::from(c) / f64::from(COMPOSITIONS - 1))
                    .collect();
                if self.table_too {
                    list.push(f64::NAN);
                }
                list
            } else {
                let mut list: Vec<f64> = BELOW_NM.iter().copied().filter(|v| v > low && v < high).collect();
                list.insert(0, *low);
                if list.len() == 1 && high > low && *low < 500.0 {
                    list.push(*high);
                }
                list
            };
            points = points
                .iter()
                .flat_map(|p| {
                    values.iter().map(move |v| {
                        let mut q = p.clone();
                        q[i] = *v;
                        q
                    })
                })
                .collect();
        }
        points
    }

    /// A film below that hides what it lies on may be as thin as the machine lays it: take the thinnest that is as good.
    fn plainest(&self, difference: &impl Fn(&[f64]) -> f64, x: Vec<f64>, value: f64) -> Vec<f64> {
        const AS_GOOD: f64 = 0.01;
        let mut plain = x;
        for i in 0..self.top {
            let mut thinner = plain.clone();
            thinner[i] = self.bounds[i].0;
            if difference(&thinner) <= value + AS_GOOD {
                plain = thinner;
            }
        }
        plain
    }

    /// Whether two places are not of one valley: neighbours of a scan would all lead to the same bottom.
    fn apart(&self, x: &[f64], y: &[f64]) -> bool {
        x.iter().zip(y).enumerate().any(|(i, (a, b))| {
            if a.is_nan() || b.is_nan() {
                return a.is_nan() != b.is_nan();
            }
            let near = if Some(i) == self.slider {
                0.12 * (self.bounds[i].1 - self.bounds[i].0)
            } else if i == self.top {
                5.0
            } else {
                0.3 * a.max(10.0)
            };
            (a - b).abs() > near
        })
    }

    fn refine(&self, difference: &impl Fn(&[f64]) -> f64, mut x: Vec<f64>, limit: usize) -> (Vec<f64>, f64) {
        let (low, high) = self.bounds[self.top];
        let along_top = |x: &[f64], width: f64| {
            let line = |t: f64| {
                let mut y = x.to_vec();
                y[self.top] = t;
                difference(&y)
            };
            least_on_line(line, (x[self.top] - width).max(low), (x[self.top] + width).min(high), 1e-4)
        };
        let fixed = self.slider.is_none_or(|s| x[s].is_nan());
        if self.steps > 1 || !fixed {
            let free: Vec<usize> = (0..self.bounds.len()).filter(|i| !x[*i].is_nan()).collect();
            let pick = |v: &[f64]| free.iter().map(|i| v[*i]).collect::<Vec<f64>>();
            let bounds: Vec<(f64, f64)> = free.iter().map(|i| self.bounds[*i]).collect();
            let steps: Vec<f64> = free
                .iter()
                .map(|i| {
                    let width = self.bounds[*i].1 - self.bounds[*i].0;
                    let wished = if Some(*i) == self.slider {
                        0.03 * width
                    } else if *i == self.top {
                        2.0
                    } else {
                        0.15 * x[*i].max(5.0)
                    };
                    wished.min(0.5 * width)
                })
                .collect();
            let template = x.clone();
            let spread_out = |v: &[f64]| {
                let mut y = template.clone();
                for (i, value) in free.iter().zip(v) {
                    y[*i] = *value;
                }
                y
            };
            let go = |from: &[f64], size: f64| {
                let steps: Vec<f64> = steps.iter().map(|s| s * size).collect();
                downhill(|v| difference(&spread_out(v)), from, &steps, &bounds, 1e-4, limit)
            };
            let mut found = go(&pick(&x), 1.0);
            if limit >= REFINE_EVALUATIONS {
                // A simplex that fell flat, in a narrow valley or on a bound, goes on when it is set up anew.
                for size in RESTARTS {
                    let again = go(&found.at, size);
                    if again.value < found.value {
                        found = again;
                    }
                }
            }
            x = spread_out(&found.at);
        }
        if limit < REFINE_EVALUATIONS && self.bounds.len() > 1 {
            let value = difference(&x);
            return (x, value);
        }
        let (t, value) = along_top(&x, SCAN_NM * 1.5);
        x[self.top] = t;
        (x, value)
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
    let count = (((high - low) / SCAN_NM).ceil() as usize).max(1) + 1;
    #[expect(clippy::cast_precision_loss, reason = "a few thousand steps")]
    let step = (high - low) / (count - 1) as f64;
    let mut line = Line { from: low, step, values: vec![f64::INFINITY; count] };
    let settings = space.settings(outer);
    let simple = matches!(candidate.steps.last(), Some(Step::Lay { .. })) && space.bounds.len() > 1;
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
