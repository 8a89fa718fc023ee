//! Films laid turn by turn: what one turn lays, whole turns, and what a broken turn does to parts that began elsewhere.

use crate::carousel::{Chamber, Facet, Grid, LONGEST_CYCLE, Place, Watch};

/// Thickness that one turn of the table lays, nm: the mean rate (nm/min) over the turns each minute (above 0).
///
/// Common arithmetic (coatings.md 3.3): a part that passes several targets in a turn gets it in as many passes.
pub fn layer_nm(mean_rate_nm_per_min: f64, rpm: f64) -> f64 {
    mean_rate_nm_per_min / rpm
}

/// A whole number of turns and what it lays.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Whole {
    /// Turns of the table.
    pub turns: f64,
    /// Thickness, nm.
    pub thickness_nm: f64,
}

/// The whole turns next below and next above a thickness (nm, 0 or more) with layers of `layer_nm` (above 0); twice the
/// same where it is whole, and never fewer than one turn.
pub fn nearest_whole(thickness_nm: f64, layer_nm: f64) -> [Whole; 2] {
    let turns = thickness_nm / layer_nm;
    let nearest = turns.round();
    let [below, above] =
        if (turns - nearest).abs() < 1e-9 * turns.max(1.0) { [nearest; 2] } else { [turns.floor(), turns.ceil()] };
    [below, above].map(|turns| {
        let turns = turns.max(1.0);
        Whole { turns, thickness_nm: turns * layer_nm }
    })
}

/// Bearings at which the looked-at parts begin.
const BEGINNINGS: u32 = 24;
/// Moments of a turn; a multiple of [`BEGINNINGS`].
const STEPS: u32 = 192;

/// The least and the most that parts of the same place on other bearings of the table get in `turns` turns (above 0),
/// over what they get on the mean.
///
/// All begin with satellites and pins at 0 and differ in where their carrier stands when the shutter opens. With
/// rotation 1 whole turns are alike for all; with 2 and 3 only whole cycles are, and only where no ratio is whole. Beyond
/// [`crate::carousel::LONGEST_CYCLE`] turns of a motion that never comes back, the turns before count as even. Parts that
/// stand still: both 1, what each gets being another question.
pub fn spread(chamber: &Chamber, place: Place, facet: Facet, turns: f64) -> [f64; 2] {
    let c = &chamber.carousel;
    if c.rotation == 0 || turns <= 0.0 {
        return [1.0; 2];
    }
    let cycle = f64::from(c.cycle().unwrap_or(LONGEST_CYCLE));
    let cycles = (turns / cycle + 1e-12).floor();
    let rest = (turns - cycles * cycle).max(0.0);
    let laid: Vec<(f64, f64)> = (0..BEGINNINGS)
        .map(|i| {
            let from = f64::from(i) / f64::from(BEGINNINGS);
            let needed = if cycles > 0.0 { cycle } else { rest };
            summed(chamber, place, facet, from, [rest, needed])
        })
        .collect();
    let even = c.cycle().is_none();
    let mean_cycle = laid.iter().map(|(_, whole)| whole).sum::<f64>() / f64::from(BEGINNINGS);
    let all: Vec<f64> = laid
        .iter()
        .map(|(rest, whole)| if cycles > 0.0 { rest + cycles * if even { mean_cycle } else { *whole } } else { *rest })
        .collect();
    let mean = all.iter().sum::<f64>() / f64::from(BEGINNINGS);
    if mean <= 0.0 {
        return [1.0; 2];
    }
    let least = all.iter().copied().fold(f64::INFINITY, f64::min);
    let most = all.iter().copied().fold(0.0, f64::max);
    [least / mean, most / mean]
}

/// What is laid within each of two spans (turns) from a carrier that begins at `from` (turns): by the rule of trapezes.
fn summed(chamber: &Chamber, place: Place, facet: Facet, from: f64, spans: [f64; 2]) -> (f64, f64) {
    let c = &chamber.carousel;
    let mut watch = Watch::new(chamber, place, facet, Grid::default());
    let mut at = |turns: f64| {
        let [table, satellite, pin] = c.angles_deg(turns);
        watch.at([table + 360.0 * from, satellite, pin])
    };
    let step = 1.0 / f64::from(STEPS);
    let longest = spans[0].max(spans[1]);
    let mut sums = [0.0; 2];
    let (mut t, mut before) = (0.0, at(0.0));
    while t < longest {
        let next = t + step;
        let now = at(next);
        for (sum, span) in sums.iter_mut().zip(spans) {
            let share = ((span - t) / step).clamp(0.0, 1.0);
            // Straight between the moments.
            let end = before + share * (now - before);
            *sum += 0.5 * (before + end) * share * step;
        }
        (t, before) = (next, now);
    }
    (sums[0], sums[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::carousel::tests::{OUT, load, target};

    #[test]
    fn a_turn_lays_the_rate_over_the_turns() {
        // 2 um/h is 33.3 nm/min (coatings.md 3.1.27); at 3 turns a minute 11.1 nm each.
        assert!((layer_nm(2000.0 / 60.0, 3.0) - 11.111).abs() < 1e-3);
    }

    #[test]
    fn whole_turns_lie_on_either_side() {
        let [below, above] = nearest_whole(30.0, 0.32);
        assert!((below.turns - 93.0).abs() < 1e-12 && (above.turns - 94.0).abs() < 1e-12);
        assert!((below.thickness_nm - 29.76).abs() < 1e-9);
        let [a, b] = nearest_whole(30.0, 0.3);
        assert!((a.turns - 100.0).abs() < 1e-12 && a == b);
        assert!((nearest_whole(0.1, 0.3)[0].turns - 1.0).abs() < 1e-12);
    }

    #[test]
    fn whole_turns_of_a_table_are_alike_for_all() {
        let chamber = Chamber { targets: vec![target()], carousel: load(1) };
        let place = Place::default();
        let [low, high] = spread(&chamber, place, OUT, 7.0);
        assert!((low - 1.0).abs() < 1e-9 && (high - 1.0).abs() < 1e-9);
        // Half a turn: some see the target all through, some never.
        let [low, high] = spread(&chamber, place, OUT, 0.5);
        assert!(low < 0.01 && (high - 2.0).abs() < 0.01, "{low} {high}");
        // Of seven and a half the half counts a fifteenth.
        let [low, high] = spread(&chamber, place, OUT, 7.5);
        assert!((low - 7.0 / 7.5).abs() < 1e-3 && (high - 8.0 / 7.5).abs() < 1e-3, "{low} {high}");
    }

    #[test]
    fn many_turns_even_out_on_satellites_whose_turns_are_not_whole() {
        let at = |ratio: f64, turns: f64| {
            let carousel = crate::carousel::Carousel { satellite_ratio: ratio, ..load(2) };
            let chamber = Chamber { targets: vec![target()], carousel };
            let [low, high] = spread(&chamber, Place::default(), OUT, turns);
            high - low
        };
        let (few, many) = (at(2.7, 3.5), at(2.7, 93.75));
        assert!(few > 0.1 && many < 0.1 * few, "{few} {many}");
        // Whole cycles are alike for all, but not where every turn meets the same side.
        assert!(at(2.7, 30.0) < 2e-3 && at(3.0, 30.0) > 0.2, "{} {}", at(2.7, 30.0), at(3.0, 30.0));
        // A motion that never comes back.
        assert!(at(2.0_f64.sqrt(), 93.75) < 0.1 * few);
    }

    #[test]
    fn parts_that_stand_still_have_no_spread() {
        let chamber = Chamber { targets: vec![target()], carousel: load(0) };
        assert!(spread(&chamber, Place::default(), OUT, 3.3).iter().all(|s| (s - 1.0).abs() < 1e-15));
    }
}
