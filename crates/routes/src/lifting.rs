//! A fade: the part is lifted out of the bath while the voltage rises, and each height keeps the volts at which it left.

use crate::cell::Cell;
use crate::field::HighField;

/// Volts against height along the part: 0 leaves the bath first, 1 last. Places and volts never fall.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Place (0..=1) and volts.
    pub points: Vec<(f64, f64)>,
}

/// Why a path cannot be lifted.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PathError {
    /// Fewer than two places.
    #[error("a fade needs at least two places along the part")]
    TooShort,
    /// A film does not shrink: what leaves later must have more volts.
    #[error("the volts fall from {from_v:.1} V to {to_v:.1} V between {from_at:.0} and {to_at:.0} along the part")]
    Falls {
        /// Place before, per cent.
        from_at: f64,
        /// Volts there.
        from_v: f64,
        /// Place after, per cent.
        to_at: f64,
        /// Volts there.
        to_v: f64,
    },
}

/// One moment of lifting by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beat {
    /// s after the lifting began.
    pub second: f64,
    /// How far the part is out, mm.
    pub lift_mm: f64,
    /// What the supply is set to, V.
    pub voltage_v: f64,
}

impl Path {
    /// A path through `points` (places 0..=1, in order).
    ///
    /// # Errors
    /// [`PathError`] when there are fewer than two, or the volts fall.
    pub fn new(points: Vec<(f64, f64)>) -> Result<Self, PathError> {
        if points.len() < 2 {
            return Err(PathError::TooShort);
        }
        for w in points.windows(2) {
            if w[1].1 < w[0].1 - 1e-9 {
                return Err(PathError::Falls {
                    from_at: 100.0 * w[0].0,
                    from_v: w[0].1,
                    to_at: 100.0 * w[1].0,
                    to_v: w[1].1,
                });
            }
        }
        Ok(Self { points })
    }

    /// Volts at a place, linear between the points and held beyond them.
    pub fn voltage_v(&self, place: f64) -> f64 {
        let (first, last) = (self.points[0], self.points[self.points.len() - 1]);
        if place <= first.0 {
            return first.1;
        }
        for w in self.points.windows(2) {
            if place <= w[1].0 {
                let width = w[1].0 - w[0].0;
                let share = if width > 0.0 { (place - w[0].0) / width } else { 1.0 };
                return w[0].1 + share * (w[1].1 - w[0].1);
            }
        }
        last.1
    }

    /// Rise at a place, volts for each whole length.
    fn slope(&self, place: f64) -> f64 {
        const STEP: f64 = 1e-4;
        (self.voltage_v((place + STEP).min(1.0)) - self.voltage_v((place - STEP).max(0.0)))
            / ((place + STEP).min(1.0) - (place - STEP).max(0.0))
    }

    /// Fastest lifting that the supply can grow, in whole lengths a second: at every height the film below the waterline
    /// takes q k s A (s the rise in volts each second), which must stay under `share` of the supply's current and lose
    /// less than `lag_v` in bath and leads. `area_cm2` is the area of the whole, spread evenly along the length.
    pub fn fastest(&self, film: &HighField, cell: &Cell, area_cm2: f64, share: f64, lag_v: f64) -> f64 {
        const PLACES: u32 = 400;
        let mut fastest = f64::INFINITY;
        for i in 0..PLACES {
            let place = (f64::from(i) + 0.5) / f64::from(PLACES);
            let under = area_cm2 * (1.0 - place);
            let slope = self.slope(place);
            if slope <= 0.0 || under <= 0.0 {
                continue;
            }
            let one_a = under * film.ramp_a_per_cm2(slope);
            if let Some(most_a) = cell.most_a {
                fastest = fastest.min(share * most_a / one_a);
            }
            let ohm = cell.series_ohm + cell.bath_ohm_cm2 / under;
            if ohm > 0.0 {
                fastest = fastest.min(lag_v / (one_a * ohm));
            }
        }
        fastest
    }

    /// Volts by which the supply must be ahead at a place when the part is lifted at `speed` (whole lengths a second), so
    /// that the film sees those of the path: what the growing film's current loses in bath and leads, q k s (rho L + R A).
    pub fn lead_v(&self, film: &HighField, cell: &Cell, area_cm2: f64, place: f64, speed: f64) -> f64 {
        let density = film.ramp_a_per_cm2((self.slope(place) * speed).max(0.0));
        density * (cell.bath_ohm_cm2 + cell.series_ohm * area_cm2 * (1.0 - place).max(0.0))
    }

    /// Beats for lifting by hand: every `every_s` seconds, the last one at the end.
    pub fn beats(&self, length_mm: f64, seconds: f64, every_s: f64) -> Vec<Beat> {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some tens of beats")]
        let count = (seconds / every_s).ceil().clamp(1.0, 10_000.0) as u32;
        (0..=count)
            .map(|i| {
                let share = f64::from(i) / f64::from(count);
                Beat { second: share * seconds, lift_mm: share * length_mm, voltage_v: self.voltage_v(share) }
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::anodising::{Drive, Stop, anodise};
    use crate::cell::Zone;
    use crate::field::tests::titania;

    #[test]
    fn volts_that_fall_are_refused() {
        assert!(matches!(Path::new(vec![(0.0, 60.0), (1.0, 20.0)]), Err(PathError::Falls { .. })));
        assert!(Path::new(vec![(0.0, 60.0)]).is_err());
    }

    #[test]
    fn every_height_keeps_the_volts_at_which_it_left() {
        let film = titania();
        let cell = Cell { bath_ohm_cm2: 200.0, series_ohm: 0.0, most_a: Some(3.0), cathode_v: 0.0 };
        let path = Path::new(vec![(0.0, 10.0), (1.0, 60.0)]).unwrap();
        let speed = path.fastest(&film, &cell, 50.0, 0.8, 0.5);
        let seconds = 1.0 / speed;
        let count = 40;
        let zones = vec![Zone { area_cm2: 50.0 / 40.0, thickness_nm: 0.0 }; count];
        let before_s = 20.0;
        let line = |t: f64| ((t - before_s) * speed).max(0.0);
        let drive = Drive {
            voltage_v: &|t| path.voltage_v(line(t)),
            #[expect(clippy::cast_precision_loss, reason = "forty")]
            immersed: &|i, t| 1.0 - (line(t) * count as f64 - i as f64),
            longest_s: seconds / 80.0,
        };
        let stop = Stop { after_s: before_s + seconds, current_a: None, thickness_nm: None };
        let course = anodise(&film, &cell, &zones, &drive, stop, 1e-3);
        for (i, nm) in course.end().thickness_nm.iter().enumerate().take(count - 1).skip(3) {
            #[expect(clippy::cast_precision_loss, reason = "forty")]
            let volts = path.voltage_v((i as f64 + 0.5) / count as f64);
            // Grown at another current than the reference, the film is a few per cent thinner or thicker.
            assert!((nm / film.thickness_nm(volts) - 1.0).abs() < 0.06, "{i}: {nm} nm at {volts} V");
        }
        assert!(course.peak_a() <= 3.0 + 1e-9);
    }
}
