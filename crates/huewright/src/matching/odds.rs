//! How likely a way lands, and lands twice alike: the disagreement of constants and the scatter of runs, sampled.

use super::best::{Best, lab_of, made};
use super::enumerate::Candidate;
use super::step::Chance;
use crate::engine::Engine;
use crate::finish::Eye;
use colour::{Lab, ciede2000};
use library::{FinishFile, MaterialRef};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use routes::Draw;
use std::collections::BTreeMap;

/// Samples of what the constants may be; each with two runs. A chance is then known to about 0.03.
const SAMPLES: u32 = 300;
/// One seed for all ways: the same luck is compared.
const SEED: u64 = 0x6875_6577;

/// What may come of a way.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Odds {
    /// Mean difference from the target.
    pub(crate) expected_delta_e: f64,
    /// Share of runs within the landing limit.
    pub(crate) chance: f64,
    /// Share of pairs of runs that match one another within the pair limit.
    pub(crate) chance_alike: f64,
    /// Trade words that come out, with their shares, most frequent first.
    pub(crate) names: Vec<(String, f64)>,
}

/// Samples the way at its best settings.
pub(crate) fn odds(
    engine: &Engine,
    eye: &Eye<'_>,
    candidate: &Candidate,
    best: &Best,
    target: Lab,
    land_limit: f64,
    pair_limit: f64,
) -> Odds {
    let mut luck = Luck(ChaCha8Rng::seed_from_u64(SEED));
    let (mut sum, mut landed, mut alike, mut count, mut pairs) = (0.0, 0_u32, 0_u32, 0_u32, 0_u32);
    let mut names: BTreeMap<String, u32> = BTreeMap::new();
    for _ in 0..SAMPLES {
        let constants: Vec<Chance> = candidate
            .steps
            .iter()
            .map(|step| Chance {
                law: luck.pick(&step.law_weights()),
                draw: Draw { constant: [luck.normal(), luck.normal()], run: 0.0 },
            })
            .collect();
        let tables = luck.0.next_u64();
        let mut labs = Vec::with_capacity(2);
        for _ in 0..2 {
            let run: Vec<Chance> = constants
                .iter()
                .map(|c| Chance { draw: Draw { run: luck.normal(), ..c.draw }, ..*c })
                .collect();
            if let Some(mut finish) = made(candidate, &best.settings, &run) {
                choose_tables(engine, &mut finish, tables);
                labs.extend(lab_of(engine, eye, &finish));
            }
        }
        for lab in &labs {
            let difference = ciede2000(*lab, target);
            sum += difference;
            landed += u32::from(difference <= land_limit);
            count += 1;
            *names.entry(engine.names().name(*lab).to_owned()).or_default() += 1;
        }
        if let [one, two] = labs[..] {
            pairs += 1;
            alike += u32::from(ciede2000(one, two) <= pair_limit);
        } else {
            // A run that cannot be finished matches nothing and lands nowhere.
            pairs += 1;
            count += u32::try_from(2 - labs.len()).unwrap_or(0);
            sum += 100.0 * f64::from(u32::try_from(2 - labs.len()).unwrap_or(0));
        }
    }
    let mut names: Vec<(String, f64)> =
        names.into_iter().map(|(name, n)| (name, f64::from(n) / f64::from(count))).collect();
    names.sort_by(|a, b| b.1.total_cmp(&a.1));
    Odds {
        expected_delta_e: sum / f64::from(count),
        chance: f64::from(landed) / f64::from(count),
        chance_alike: f64::from(alike) / f64::from(pairs),
        names,
    }
}

/// Replaces default tables by one of the rivals each, chosen by `dice`; a table that was named stays.
fn choose_tables(engine: &Engine, finish: &mut FinishFile, dice: u64) {
    let choose = |material: &mut MaterialRef, composition: Option<f64>| {
        let MaterialRef::Library { id, source: source @ None } = material else { return };
        if composition.is_some() {
            return;
        }
        let rivals = engine.library().rivals(id);
        if rivals.len() < 2 {
            return;
        }
        // The same id gets the same table throughout one sample; different ids vary independently.
        let mixed = id.bytes().fold(dice, |h, b| (h ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3).rotate_left(17));
        let which = usize::try_from(mixed % rivals.len() as u64).unwrap_or(0);
        *source = Some(rivals[which].source.clone());
    };
    choose(&mut finish.base.material, None);
    for film in &mut finish.films {
        choose(&mut film.material, film.composition);
    }
}

struct Luck(ChaCha8Rng);

impl Luck {
    /// Uniform in 0..1, never 0.
    fn uniform(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
        let bits = (self.0.next_u64() >> 11) as f64;
        (bits + 0.5) / 9_007_199_254_740_992.0
    }

    /// Standard normal (Box and Muller 1958).
    fn normal(&mut self) -> f64 {
        let size = (-2.0 * self.uniform().ln()).sqrt();
        size * (std::f64::consts::TAU * self.uniform()).cos()
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
