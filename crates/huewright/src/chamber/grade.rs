//! A film whose composition changes while it grows, as so many even slices as its colour needs.

use crate::engine::Engine;
use crate::error::Fault;
use crate::finish::Eye;
use colour::ciede2000;
use library::{FilmSpec, FinishFile};

/// Slices are enough when the colour is off by less than this (CIEDE2000).
pub(crate) const SLICED_WITHIN: f64 = 0.1;
/// What so many even slices are off by, over what twice as many change: the error of middles falls as their square.
const OFF_BY: f64 = 4.0 / 3.0;
/// Most slices of one film.
const MOST_SLICES: usize = 128;

/// How the composition of one film runs from the base outward.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Grade {
    /// Share of the thickness, from 0 to 1, and composition there; straight between.
    pub(crate) stops: Vec<(f64, f64)>,
    /// How many even slices stand for it.
    pub(crate) slices: usize,
}

impl Grade {
    /// The composition at a share of the thickness.
    pub(crate) fn at(&self, share: f64) -> f64 {
        let after = self.stops.partition_point(|s| s.0 <= share);
        match (after.checked_sub(1).map(|i| self.stops[i]), self.stops.get(after)) {
            (Some((a, from)), Some((b, to))) => from + (to - from) * (share - a) / (b - a),
            (Some((_, last)), None) => last,
            (None, Some((_, first))) => *first,
            (None, None) => 0.0,
        }
    }

    /// The slices of `film`, whose composition is taken as a shift of the whole run, within `range`.
    pub(crate) fn films(&self, film: &FilmSpec, shift: f64, range: [f64; 2]) -> Vec<FilmSpec> {
        #[expect(clippy::cast_precision_loss, reason = "at most 128 slices")]
        let count = self.slices as f64;
        (0..self.slices)
            .map(|i| {
                #[expect(clippy::cast_precision_loss, reason = "at most 128 slices")]
                let middle = (i as f64 + 0.5) / count;
                FilmSpec {
                    thickness_nm: film.thickness_nm / count,
                    composition: Some((self.at(middle) + shift).clamp(range[0], range[1])),
                    ..film.clone()
                }
            })
            .collect()
    }

    /// The fewest slices, by doubling, whose colour on `below` is within [`SLICED_WITHIN`] of that of endlessly many, as far
    /// as doubling them tells; and by how much it is off.
    ///
    /// # Errors
    /// [`Fault`] when a material is not known.
    pub(crate) fn sliced(
        engine: &Engine,
        eye: &Eye<'_>,
        below: &FinishFile,
        film: &FilmSpec,
        stops: Vec<(f64, f64)>,
    ) -> Result<(Self, f64), Fault> {
        let lab = |grade: &Self| -> Result<_, Fault> {
            let mut finish = below.clone();
            finish.films.extend(grade.films(film, 0.0, [0.0, 1.0]));
            let built = engine.build(&finish)?;
            Ok(eye.lab(&built, built.values())?)
        };
        let mut grade = Self { stops, slices: 1 };
        let mut here = lab(&grade)?;
        loop {
            let finer = Self { slices: 2 * grade.slices, ..grade.clone() };
            let there = lab(&finer)?;
            let off = OFF_BY * ciede2000(here, there);
            // One slice and two may agree by chance: four at least.
            if (off < SLICED_WITHIN && grade.slices >= 4) || finer.slices > MOST_SLICES {
                return Ok((grade, off));
            }
            (grade, here) = (finer, there);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_composition_runs_straight_between_its_stops() {
        let grade = Grade { stops: vec![(0.0, 0.0), (0.5, 0.2), (1.0, 0.6)], slices: 4 };
        for (at, expected) in [(0.0, 0.0), (0.25, 0.1), (0.5, 0.2), (0.75, 0.4), (1.0, 0.6)] {
            assert!((grade.at(at) - expected).abs() < 1e-12, "{at}");
        }
        let film = FilmSpec {
            material: library::MaterialRef::Inline { n: 2.0, k: 0.0 },
            thickness_nm: 40.0,
            thickness_sd_nm: 0.0,
            spread: 0.0,
            porosity: 0.0,
            composition: None,
        };
        let films = grade.films(&film, 0.05, [0.0, 0.5]);
        let sum: f64 = films.iter().map(|f| f.thickness_nm).sum();
        assert!((sum - 40.0).abs() < 1e-12);
        // Middles at 1/8, 3/8, 5/8, 7/8, shifted, and kept within the range.
        let told: Vec<f64> = films.iter().map(|f| f.composition.unwrap()).collect();
        for (got, expected) in told.iter().zip([0.1, 0.2, 0.35, 0.5]) {
            assert!((got - expected).abs() < 1e-12, "{told:?}");
        }
    }
}
