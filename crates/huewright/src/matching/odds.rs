//! How likely a way lands, and lands twice alike: the disagreement of constants and the scatter of runs, sampled.

use super::best::{Best, made_from};
use super::enumerate::Candidate;
use super::flat::{flatten, shifted, unevenness};
use super::step::{Chance, outermost_nm};
use crate::engine::Engine;
use crate::finish::Eye;
use colour::{Lab, ciede2000};
use library::{FinishFile, MaterialRef};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use routes::Draw;
use std::collections::BTreeMap;

/// Samples of what the constants may be; each with two runs. A chance is then known to about 0.03.
pub const SAMPLES: u32 = 300;
/// One seed for all ways, so that an answer comes back the same.
const SEED: u64 = 0x6875_6577;

/// What may come of a way.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Odds {
    /// Mean difference from the target.
    pub(crate) expected_delta_e: f64,
    /// Share of runs within the landing limit.
    pub(crate) chance: f64,
    /// Share of pairs of runs that both land and match one another within the pair limit.
    pub(crate) chance_alike: f64,
    /// Share of pairs that match one another, wherever they land.
    pub(crate) chance_match: f64,
    /// Share of sets whose every piece matches every other.
    pub(crate) chance_set: f64,
    /// Difference from the target: median, and what 5 of 100 lie below and above.
    pub(crate) differences: [f64; 3],
    /// Thickness of the outermost film, nm, likewise; `None` without films.
    pub(crate) thickness_nm: Option<[f64; 3]>,
    /// Trade words that come out, with their shares, most frequent first.
    pub(crate) names: Vec<(String, f64)>,
}

/// What counts.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limits {
    /// A run lands within this of the target.
    pub(crate) land: f64,
    /// Two runs match within this of one another.
    pub(crate) pair: f64,
    /// Runs of one sample: 2, or as many as a set has pieces.
    pub(crate) pieces: u32,
}

/// Samples the way at its best settings.
pub(crate) fn odds(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    best: &Best,
    target: Lab,
    Limits { land, pair, pieces }: Limits,
) -> Odds {
    let mut luck = Luck::new();
    let (mut sum, mut landed, mut alike, mut matched, mut count, mut pairs) = (0.0, 0_u32, 0_u32, 0_u32, 0_u32, 0_u32);
    let mut sets = 0_u32;
    let (mut differences, mut thicknesses) = (Vec::new(), Vec::new());
    let mut names: BTreeMap<String, u32> = BTreeMap::new();
    let by = unevenness(engine, eye, &best.finish);
    for _ in 0..SAMPLES {
        let constants = constants(candidate, &mut luck);
        let tables = Tables::draw(engine, &best.finish, &mut luck);
        let mut runs: Vec<Option<Lab>> = Vec::with_capacity(pieces as usize);
        for _ in 0..pieces.max(2) {
            let run = stray(&constants, &mut luck);
            let start = gauged(candidate, &mut luck);
            let finish = made_from(start, candidate, &best.settings, &run);
            thicknesses.extend(finish.as_ref().and_then(outermost_nm));
            runs.push(finish.and_then(|f| tables.flat_lab(engine, eye, f)).map(|lab| shifted(lab, by)));
        }
        for lab in &runs {
            count += 1;
            let Some(lab) = lab else {
                // A run that cannot be finished matches nothing and lands nowhere.
                sum += FAILED_DELTA_E;
                continue;
            };
            let difference = ciede2000(*lab, target);
            sum += difference;
            differences.push(difference);
            landed += u32::from(difference <= land);
            *names.entry(engine.names().name(*lab).to_owned()).or_default() += 1;
        }
        pairs += 1;
        let near = |a: &Option<Lab>, b: &Option<Lab>| matches!((a, b), (Some(a), Some(b)) if ciede2000(*a, *b) <= pair);
        let lands = |run: &Option<Lab>| run.is_some_and(|lab| ciede2000(lab, target) <= land);
        // The first two are the pair, however many pieces a set has.
        let match_up = near(&runs[0], &runs[1]);
        matched += u32::from(match_up);
        alike += u32::from(match_up && runs[..2].iter().all(lands));
        sets += u32::from(runs.iter().enumerate().all(|(i, a)| runs[..i].iter().all(|b| near(a, b))));
    }
    let mut names: Vec<(String, f64)> =
        names.into_iter().map(|(name, n)| (name, f64::from(n) / f64::from(count))).collect();
    names.sort_by(|a, b| b.1.total_cmp(&a.1));
    Odds {
        expected_delta_e: sum / f64::from(count),
        chance: f64::from(landed) / f64::from(count),
        chance_alike: f64::from(alike) / f64::from(pairs),
        chance_match: f64::from(matched) / f64::from(pairs),
        chance_set: f64::from(sets) / f64::from(pairs),
        differences: quantiles(&mut differences).unwrap_or([FAILED_DELTA_E; 3]),
        thickness_nm: quantiles(&mut thicknesses),
        names,
    }
}

/// Colours that runs of a way may show in several places of one load, whose outermost film is so many times as thick:
/// sample by sample, place by place. What strays for a run strays for all its places; a place that cannot be made is left
/// out of its sample.
pub(crate) fn places(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    best: &Best,
    shares: &[f64],
) -> Vec<Vec<Option<Lab>>> {
    let mut luck = Luck::new();
    let by = unevenness(engine, eye, &best.finish);
    (0..SAMPLES)
        .map(|_| {
            let constants = constants(candidate, &mut luck);
            let tables = Tables::draw(engine, &best.finish, &mut luck);
            let run = stray(&constants, &mut luck);
            let start = gauged(candidate, &mut luck);
            shares
                .iter()
                .map(|share| {
                    let mut settings = best.settings.clone();
                    if let Some(last) = settings.last_mut() {
                        last.thickness_nm *= share;
                    }
                    let finish = made_from(start.clone(), candidate, &settings, &run)?;
                    tables.flat_lab(engine, eye, finish).map(|lab| shifted(lab, by))
                })
                .collect()
        })
        .collect()
}

/// Colours that a finish may have, made as it is written, as the tables of its materials may be.
pub(crate) fn tables(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Vec<Lab> {
    let mut luck = Luck::new();
    (0..SAMPLES).filter_map(|_| Tables::draw(engine, finish, &mut luck).flat_lab(engine, eye, finish.clone())).collect()
}

/// What the constants of each step really are.
pub(super) fn constants(candidate: &Candidate, luck: &mut Luck) -> Vec<Chance> {
    candidate
        .steps
        .iter()
        .map(|step| Chance {
            law: luck.pick(&step.law_weights()),
            draw: Draw { constant: [luck.normal(), luck.normal()], ..Draw::default() },
        })
        .collect()
}

/// One run under these constants.
pub(super) fn stray(constants: &[Chance], luck: &mut Luck) -> Vec<Chance> {
    constants
        .iter()
        .map(|c| Chance { draw: Draw { run: luck.normal(), run_composition: luck.normal(), ..c.draw }, ..*c })
        .collect()
}

/// The part as one run meets it: films that were gauged are as thick as their doubt allows.
pub(super) fn gauged(candidate: &Candidate, luck: &mut Luck) -> FinishFile {
    let mut start = candidate.start.clone();
    for film in &mut start.films {
        if film.thickness_sd_nm > 0.0 {
            film.thickness_nm = (film.thickness_nm + film.thickness_sd_nm * luck.normal()).max(0.0);
        }
    }
    start
}

/// Median, and what 5 of 100 lie below and above.
fn quantiles(values: &mut [f64]) -> Option<[f64; 3]> {
    if values.is_empty() {
        return None;
    }
    values.sort_by(f64::total_cmp);
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "some hundreds"
    )]
    let at = |share: f64| values[((values.len() - 1) as f64 * share).round() as usize];
    Some([at(0.5), at(0.05), at(0.95)])
}

/// What the tables of one sample say: which rival is true, and how far it is off. One material has one truth in a sample.
pub(super) struct Tables {
    each: Vec<Truth>,
}

/// What one sample holds true of one material.
#[derive(Clone)]
struct Truth {
    id: String,
    /// The table that is true; `None`: the one written.
    source: Option<String>,
    /// Factors on its n and k.
    factor: [f64; 2],
    /// Shift of the composition, and the range that it keeps to.
    shift: f64,
    range: [f64; 2],
}

impl Tables {
    pub(super) fn draw(engine: &Engine, finish: &FinishFile, luck: &mut Luck) -> Self {
        Self { each: Vec::new() }.with(engine, finish, luck)
    }

    /// The same for the materials of another finish, too.
    pub(super) fn with(self, engine: &Engine, finish: &FinishFile, luck: &mut Luck) -> Self {
        let library = engine.library();
        let mut each = self.each;
        let base = (&finish.base.material, None);
        let films = finish.films.iter().map(|f| (&f.material, f.composition));
        for (material, composition) in std::iter::once(base).chain(films) {
            let MaterialRef::Library { id, source } = material else { continue };
            if each.iter().any(|e| e.id == *id) {
                continue;
            }
            let (dice, shifts) = (luck.uniform(), [luck.normal(), luck.normal(), luck.normal()]);
            let rivals = library.rivals(id);
            let chosen = if source.is_none() && composition.is_none() && rivals.len() > 1 {
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    clippy::cast_precision_loss,
                    reason = "a handful of tables"
                )]
                let which = ((dice * rivals.len() as f64) as usize).min(rivals.len() - 1);
                Some(rivals[which].source.clone())
            } else {
                None
            };
            let doubt = engine.head_of(material, composition).and_then(|head| library.doubt(head));
            let (n, k, c) = doubt.map_or((0.0, 0.0, 0.0), |d| (d.n, d.k, d.composition));
            let family = library.entry(id).ok().and_then(|e| e.family.as_ref());
            let range = family.map_or([0.0, 1.0], |f| f.range);
            let factor = [libm::exp(n * shifts[0]), libm::exp(k * shifts[1])];
            each.push(Truth { id: id.clone(), source: chosen, factor, shift: c * shifts[2], range });
        }
        Self { each }
    }

    fn of(&self, material: &MaterialRef) -> Option<&Truth> {
        let MaterialRef::Library { id, .. } = material else { return None };
        self.each.iter().find(|e| e.id == *id)
    }

    /// Flat Lab of a finish whose materials are as this sample says.
    pub(super) fn flat_lab(&self, engine: &Engine, eye: &Eye<'_>, mut finish: FinishFile) -> Option<Lab> {
        let replace = |material: &mut MaterialRef, drawn: Option<&String>| {
            if let (MaterialRef::Library { source, .. }, Some(drawn)) = (material, drawn) {
                *source = Some(drawn.clone());
            }
        };
        let base = self.of(&finish.base.material).cloned();
        replace(&mut finish.base.material, base.as_ref().and_then(|b| b.source.as_ref()));
        let films: Vec<_> = finish.films.iter().map(|f| self.of(&f.material).cloned()).collect();
        for (film, drawn) in finish.films.iter_mut().zip(&films) {
            // A composition has its own source; the drawn table would contradict it.
            if film.composition.is_none() {
                replace(&mut film.material, drawn.as_ref().and_then(|d| d.source.as_ref()));
            }
        }
        let built = engine.build(&finish).ok()?;
        let mut values = built.values().clone();
        flatten(&mut values);
        if let Some(base) = base {
            values.base_factor = base.factor;
        }
        for (value, drawn) in values.films.iter_mut().zip(films) {
            if let Some(truth) = drawn {
                value.index_factor = truth.factor;
                value.composition = (value.composition + truth.shift).clamp(truth.range[0], truth.range[1]);
            }
        }
        eye.lab(&built, &values).ok()
    }
}

/// What a run that cannot be finished counts as: black for white.
const FAILED_DELTA_E: f64 = 100.0;

pub(crate) struct Luck(ChaCha8Rng);

impl Luck {
    /// The one seed: an answer comes back the same.
    pub(crate) fn new() -> Self {
        Self(ChaCha8Rng::seed_from_u64(SEED))
    }

    /// Uniform in 0..1, never 0.
    fn uniform(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
        let bits = (self.0.next_u64() >> 11) as f64;
        (bits + 0.5) / 9_007_199_254_740_992.0
    }

    /// Standard normal (Box and Muller 1958).
    pub(crate) fn normal(&mut self) -> f64 {
        let size = (-2.0 * libm::log(self.uniform())).sqrt();
        size * libm::cos(std::f64::consts::TAU * self.uniform())
    }

    /// An index by weight.
    fn pick(&mut self, weights: &[f64]) -> usize {
        let mut at = self.uniform() * weights.iter().sum::<f64>();
        for (i, weight) in weights.iter().enumerate() {
            at -= weight;
            if at <= 0.0 {
                return i;
            }
        }
        weights.len() - 1
    }
}
