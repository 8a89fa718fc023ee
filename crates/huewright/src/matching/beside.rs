//! The chance that a piece made one way matches a piece made another way, such as titanium beside niobium.

use super::best::{Best, made_from};
use super::enumerate::Candidate;
use super::flat::{shifted, unevenness};
use super::odds::{Luck, SAMPLES, Tables, constants, gauged, stray};
use super::step::{Chance, Step};
use crate::engine::Engine;
use crate::finish::Eye;
use colour::{Lab, ciede2000};

/// Share of pairs, one piece of each way, that come within `pair` of one another. What holds for both ways (a law, a
/// table) is drawn once for both.
pub(crate) fn chance_beside(engine: &Engine, eye: &Eye<'_>, ways: [(&Candidate, &Best); 2], pair: f64) -> f64 {
    let mut luck = Luck::new();
    let by = ways.map(|(_, best)| unevenness(engine, eye, &best.finish));
    let mut matched = 0_u32;
    for _ in 0..SAMPLES {
        let first = constants(ways[0].0, &mut luck);
        let mut second = constants(ways[1].0, &mut luck);
        for (step, chance) in ways[1].0.steps.iter().zip(&mut second) {
            let same = ways[0].0.steps.iter().position(|other| one_law(other, step));
            if let Some(i) = same {
                *chance = first[i];
            }
        }
        let tables = Tables::draw(engine, &ways[0].1.finish, &mut luck).with(engine, &ways[1].1.finish, &mut luck);
        let mut piece = |(candidate, best): (&Candidate, &Best), held: &[Chance], by: Lab| -> Option<Lab> {
            let run = stray(held, &mut luck);
            let start = gauged(candidate, &mut luck);
            let finish = made_from(start, candidate, &best.settings, &run)?;
            tables.flat_lab(engine, eye, finish).map(|lab| shifted(lab, by))
        };
        let pieces = (piece(ways[0], &first, by[0]), piece(ways[1], &second, by[1]));
        if let (Some(one), Some(two)) = pieces {
            matched += u32::from(ciede2000(one, two) <= pair);
        }
    }
    f64::from(matched) / f64::from(SAMPLES)
}

/// Whether two steps grow by one law, of which one truth holds.
fn one_law(a: &Step, b: &Step) -> bool {
    match (a, b) {
        (Step::Anodise { laws: x, .. }, Step::Anodise { laws: y, .. }) => x == y,
        (Step::Heat { of: x, law: p, .. }, Step::Heat { of: y, law: q, .. }) => x == y && p == q,
        _ => false,
    }
}
