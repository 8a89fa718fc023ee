//! Parts on a table that turns before targets: what arrives on each of their facets, now and in the long run.
//!
//! Directions are counter-clockwise seen from above, and so is the turning; places in mm from the table's axis and, up,
//! from the middle of the load. What is left out: gas that scatters, parts that shade one another but for what
//! [`Shield`]s stand for, plates above and below, re-sputtering by bias.

pub use crate::face::{Shield, Target};

use crate::face::Face;

/// How parts stand and turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carousel {
    /// 0: parts stand still; 1: the table turns; 2: table and satellites; 3: and each part on its own pin.
    pub rotation: u8,
    /// Turns of the table each minute; not used for means, which no speed changes.
    pub rpm: f64,
    /// From the table's axis to the parts (0, 1) or to the axes of the satellites (2, 3), mm.
    pub table_mm: f64,
    /// Satellites, evenly on the table; at least 1 (2, 3).
    pub satellites: u32,
    /// From a satellite's axis to its outermost parts (2) or to the pins (3), mm.
    pub satellite_mm: f64,
    /// Turns of a satellite against the table for each turn of the table; negative: the other way round.
    pub satellite_ratio: f64,
    /// Turns of a pin against its satellite for each turn of the table (3).
    pub pin_ratio: f64,
    /// Radius of the upright body that each satellite with its parts is to the others, and to what stands on it; with
    /// rotation 1 that of a body about the table's axis; 0: nothing is in the way.
    pub shade_mm: f64,
}

/// Where a part stands.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Place {
    /// Above the middle of the load, mm.
    pub height_mm: f64,
    /// Where on its satellite (2, 3) or on the table (0, 1), degrees.
    pub around_deg: f64,
    /// How much nearer to its carrier's axis than the outermost parts, mm.
    pub inward_mm: f64,
}

/// A small face of a part, in the part's own axes: x outward from its carrier's axis, y forward in the direction of
/// turning, z up. With rotation 3 the axes turn with the pin and point so while the pin stands at 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Facet {
    /// From the part's place, mm.
    pub at_mm: [f64; 3],
    /// Its normal, of length 1.
    pub normal: [f64; 3],
}

/// Targets about a load.
#[derive(Debug, Clone, PartialEq)]
pub struct Chamber {
    /// Targets, which all send alike.
    pub targets: Vec<Target>,
    /// The load.
    pub carousel: Carousel,
}

/// How finely sums are taken. The default keeps means to 1e-3, and those of faces that see targets through gaps alone, a
/// few per cent of the others, to 2e-3; double both to see it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Emitters of a target along each side, in multiples of the usual count.
    pub emitters: f64,
    /// Moments, in multiples of the usual count.
    pub moments: u32,
}

impl Default for Grid {
    fn default() -> Self {
        Self { emitters: 1.0, moments: 1 }
    }
}

/// A motion that comes back to its beginning after more turns of the table than this counts as one that never does.
pub const LONGEST_CYCLE: u32 = 20;

/// Moments in the mean of one turn; more freedom to turn takes more of them.
const MOMENTS: u32 = 1440;

/// Lattices that fill the angles of table and satellite, and of table, satellite and pin: count of points, and how far
/// the second and third angle go while the first goes round once. Fibonacci's, and the best of N. M. Korobov's kind
/// (a, a^2) with 16001 points by the usual figure of merit (P_2; a search over 4000 of them).
const PAIRS: (u32, [f64; 2]) = (10_946, [6_765.0, 0.0]);
const TRIPLES: (u32, [f64; 2]) = (16_001, [5_900.0, 7_825.0]);

impl Carousel {
    /// Angles of table, satellite (against the table) and pin (against the satellite) after some turns of the table,
    /// degrees; what does not turn stays at 0.
    pub fn angles_deg(&self, turns: f64) -> [f64; 3] {
        let table = if self.rotation > 0 { 360.0 * turns } else { 0.0 };
        let satellite = if self.rotation > 1 { self.satellite_ratio * table } else { 0.0 };
        let pin = if self.rotation > 2 { self.pin_ratio * table } else { 0.0 };
        [table, satellite, pin]
    }

    /// Turns of the table after which satellites and pins stand as at the beginning; `None`: more than
    /// [`LONGEST_CYCLE`].
    pub fn cycle(&self) -> Option<u32> {
        let closes = |ratio: f64, turns: u32| {
            let product = ratio * f64::from(turns);
            (product - product.round()).abs() < 1e-6
        };
        (1..=LONGEST_CYCLE).find(|turns| {
            (self.rotation < 2 || closes(self.satellite_ratio, *turns))
                && (self.rotation < 3 || closes(self.pin_ratio, *turns))
        })
    }

    /// Where the axes of the satellites are, mm; that of the parts that are looked at comes first. None with rotation 0
    /// and 1.
    pub fn satellites_mm(&self, table_deg: f64) -> Vec<[f64; 2]> {
        let count = if self.rotation < 2 { 0 } else { self.satellites.max(1) };
        (0..count).map(|i| polar(self.table_mm, table_deg + 360.0 * f64::from(i) / f64::from(count))).collect()
    }

    /// Where a part is, mm, at these angles of table, satellite and pin (degrees).
    pub fn at_mm(&self, [table, satellite, _]: [f64; 3], place: Place) -> [f64; 2] {
        if self.rotation < 2 {
            return polar(self.table_mm - place.inward_mm, table + place.around_deg);
        }
        let [x, y] = polar(self.table_mm, table);
        let [dx, dy] = polar(self.satellite_mm - place.inward_mm, table + place.around_deg + satellite);
        [x + dx, y + dy]
    }

    /// Direction in which a part's own x axis points, degrees.
    pub fn position_deg(&self, [table, satellite, pin]: [f64; 3], place: Place) -> f64 {
        let own = place.around_deg + table;
        match self.rotation {
            0 | 1 => own,
            2 => own + satellite,
            _ => own + satellite + pin,
        }
    }

    /// Bodies in the way at this angle of the table, degrees.
    pub fn shields(&self, table_deg: f64) -> Vec<Shield> {
        let mut shields = Vec::new();
        self.shade(table_deg, &mut shields);
        shields
    }

    fn shade(&self, table_deg: f64, shields: &mut Vec<Shield>) {
        shields.clear();
        if self.shade_mm <= 0.0 || self.rotation == 0 {
            return;
        }
        if self.rotation == 1 {
            shields.push(Shield { at_mm: [0.0; 2], radius_mm: self.shade_mm });
            return;
        }
        let count = self.satellites.max(1);
        for i in 0..count {
            let at_mm = polar(self.table_mm, table_deg + 360.0 * f64::from(i) / f64::from(count));
            shields.push(Shield { at_mm, radius_mm: self.shade_mm });
        }
    }
}

impl Chamber {
    /// What arrives on a facet at these angles of table, satellite and pin (degrees), as a share of all that one target
    /// emits, for each mm2, summed over the targets.
    pub fn now(&self, place: Place, facet: Facet, angles_deg: [f64; 3]) -> f64 {
        Watch::new(self, place, facet, Grid::default()).at(angles_deg)
    }

    /// Mean of [`Chamber::now`] in the long run, alike for every speed.
    ///
    /// Where satellites and pins come back within [`LONGEST_CYCLE`] turns of the table it is the mean over that cycle, so
    /// that a ratio such as 3 treats the sides of a satellite unlike, as it does in the chamber; a part on another
    /// satellite then has another `around_deg`. Otherwise every set of angles counts alike.
    pub fn mean(&self, place: Place, facet: Facet) -> f64 {
        self.mean_on(place, facet, Grid::default())
    }

    /// As [`Chamber::mean`], with the grid chosen.
    pub fn mean_on(&self, place: Place, facet: Facet, grid: Grid) -> f64 {
        let c = &self.carousel;
        let mut watch = Watch::new(self, place, facet, grid);
        let rounds = grid.moments.max(1);
        match (c.rotation, c.cycle()) {
            (0, _) => watch.at([0.0; 3]),
            (_, Some(turns)) => {
                let least = if c.rotation == 1 { MOMENTS } else { 4 * MOMENTS };
                let count = least.div_ceil(turns).max(MOMENTS / 8) * rounds * turns;
                let share = |i: u32| (f64::from(i) + 0.5) / f64::from(count);
                let sum: f64 = (0..count).map(|i| watch.at(c.angles_deg(share(i) * f64::from(turns)))).sum();
                sum / f64::from(count)
            }
            (rotation, None) => {
                let (count, steps) = if rotation == 2 { PAIRS } else { TRIPLES };
                let mut sum = 0.0;
                for round in 0..rounds {
                    // Each round lies between the points of those before.
                    let shift = f64::from(round) / f64::from(rounds);
                    for i in 0..count {
                        let share = f64::from(i) / f64::from(count);
                        let over = |step: f64, shift: f64| 360.0 * part(share * step + shift);
                        let table = 360.0 * (share + shift / f64::from(count));
                        sum += watch.at([table, over(steps[0], 0.618 * shift), over(steps[1], 0.382 * shift)]);
                    }
                }
                sum / (f64::from(count) * f64::from(rounds))
            }
        }
    }

    /// Through one turn of the table from 0: degrees and what arrives, at `samples` (at least 2) even steps, both ends
    /// among them.
    pub fn turn(&self, place: Place, facet: Facet, samples: u32) -> Vec<(f64, f64)> {
        let mut watch = Watch::new(self, place, facet, Grid::default());
        let last = samples.max(2) - 1;
        (0..=last)
            .map(|i| {
                let share = f64::from(i) / f64::from(last);
                (360.0 * share, watch.at(self.carousel.angles_deg(share)))
            })
            .collect()
    }
}

/// One facet that is followed through many moments.
#[derive(Debug, Clone)]
pub(crate) struct Watch<'c> {
    carousel: &'c Carousel,
    place: Place,
    facet: Facet,
    faces: Vec<Face>,
    shields: Vec<Shield>,
}

impl<'c> Watch<'c> {
    pub(crate) fn new(chamber: &'c Chamber, place: Place, facet: Facet, grid: Grid) -> Self {
        let faces = chamber.targets.iter().map(|t| Face::new(*t, grid.emitters)).collect();
        Self { carousel: &chamber.carousel, place, facet, faces, shields: Vec::new() }
    }

    /// As [`Chamber::now`].
    pub(crate) fn at(&mut self, angles_deg: [f64; 3]) -> f64 {
        let c = self.carousel;
        let (sin, cos) = libm::sincos(c.position_deg(angles_deg, self.place).to_radians());
        let turned = |v: [f64; 3]| [v[0] * cos - v[1] * sin, v[0] * sin + v[1] * cos, v[2]];
        let [x, y] = c.at_mm(angles_deg, self.place);
        let [dx, dy, dz] = turned(self.facet.at_mm);
        let (at, normal) = ([x + dx, y + dy, self.place.height_mm + dz], turned(self.facet.normal));
        c.shade(angles_deg[0], &mut self.shields);
        self.faces.iter_mut().map(|face| face.arriving(at, normal, &self.shields)).sum()
    }
}

fn polar(radius: f64, deg: f64) -> [f64; 2] {
    let (sin, cos) = libm::sincos(deg.to_radians());
    [radius * cos, radius * sin]
}

/// What of a number is left above the whole one.
fn part(x: f64) -> f64 {
    x - x.floor()
}

#[cfg(test)]
#[path = "carousel_tests.rs"]
pub(crate) mod tests;
