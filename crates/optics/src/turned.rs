//! One film of a finish turned through its thicknesses: all else is worked out once.
//!
//! The closed form of the sweep holds for each wavelength, direction and polarisation of a textured finish too. An uneven
//! film is an average over equal steps of thickness: its phase is advanced by one complex product a step.

use crate::coats::{Cover, cover};
use crate::complex::Cx;
use crate::directions::Directions;
use crate::error::OpticsError;
use crate::sample::{Sample, View};
use crate::scalar::Real;
use crate::spread::{Node, thickness_at};
use crate::stack::{Medium, POLARISATIONS, Polarisation};
use crate::sweep::Sweep;

/// One or two polarisations of one direction.
type Polarised<T> = Vec<(Polarisation, Sweep<T>)>;

/// A finish with everything but the thickness of one film worked out.
pub struct Turned<'s, T> {
    sample: &'s Sample<T>,
    which: usize,
    directions: Directions<T>,
    /// For each wavelength: for each direction.
    sweeps: Vec<Vec<Polarised<T>>>,
    covers: Vec<Vec<Cover>>,
}

impl<'s, T: Real> Turned<'s, T> {
    /// `sample` in `view` with film number `which` (0 at the base) to be turned. `None` when that film has several layers,
    /// or when the spread of another film can be seen.
    ///
    /// # Errors
    /// [`OpticsError`] when the tilt or the roughness is outside what the formulas hold for.
    ///
    /// # Panics
    /// When `which` is not a film.
    pub fn new(sample: &'s Sample<T>, view: View, which: usize) -> Result<Option<Self>, OpticsError> {
        let directions = Directions::of(sample, view)?;
        let others = (0..sample.films.len()).any(|f| f != which && sample.is_uneven(f));
        if sample.films[which].layers.len() != 1 || others {
            return Ok(None);
        }
        let number = sample.films[..which].iter().map(|f| f.layers.len()).sum();
        let (mut sweeps, mut covers) = (Vec::new(), Vec::new());
        for w in 0..sample.wavelength_nm.len() {
            let (thin, thick) = sample.coats_at(w);
            let top_n = thick.first().map_or(sample.ambient_n[w], |c| c.coat.re);
            let each = (0..directions.count()).map(|d| {
                let s2 = directions.s2(d, sample.ambient_n[w]);
                let (slabs, _) = sample.slabs(w, s2, &thin);
                let (ambient, base) = (Medium::new(Cx::of(top_n, 0.0), s2), Medium::new(sample.base[w], s2));
                let wanted = if s2.value() > 0.0 { &POLARISATIONS[..] } else { &POLARISATIONS[..1] };
                let sweep = |p: &Polarisation| Sweep::new(sample.wavelength_nm[w], &ambient, &slabs, &base, *p, number);
                wanted.iter().map(|p| (*p, sweep(p))).collect()
            });
            sweeps.push(each.collect());
            covers.push(thick);
        }
        Ok(Some(Self { sample, which, directions, sweeps, covers }))
    }

    /// Reflectance (0..=1) at each wavelength with the film at a mean of `thickness_nm`.
    pub fn reflectance(&self, thickness_nm: T) -> Vec<T> {
        let nodes = self.nodes(thickness_nm);
        (0..self.sample.wavelength_nm.len())
            .map(|w| {
                self.directions.sum(self.sample, w, |direction, s2| {
                    let sweeps = &self.sweeps[w][direction];
                    let mut sum = T::of(0.0);
                    for (polarisation, sweep) in sweeps {
                        sum += self.mean(w, s2, *polarisation, sweep, thickness_nm, &nodes);
                    }
                    if sweeps.len() == 2 { sum * 0.5 } else { sum }
                })
            })
            .collect()
    }

    /// Nodes over the spread of the turned film; none where it is even or hides what lies below.
    fn nodes(&self, thickness_nm: T) -> Vec<Node> {
        let mut film = self.sample.films[self.which].clone();
        film.thickness_nm = thickness_nm;
        if film.spread.value() <= 0.0 || self.sample.hides(&film) {
            return Vec::new();
        }
        self.sample.nodes_of(&film, thickness_nm.value())
    }

    fn mean(
        &self,
        w: usize,
        s2: T,
        polarisation: Polarisation,
        sweep: &Sweep<T>,
        thickness_nm: T,
        nodes: &[Node],
    ) -> T {
        let seen = |r: T| {
            let covers = &self.covers[w];
            if covers.is_empty() {
                return r;
            }
            cover(r, covers, self.sample.ambient_n[w], s2.value(), self.sample.wavelength_nm[w], polarisation)
        };
        let [first, second, ..] = nodes else { return seen(sweep.reflectance(thickness_nm)) };
        let spread = self.sample.films[self.which].spread;
        let mut sum = T::of(0.0);
        if spread.value() * first.deviation <= -1.0 {
            // Some of it would be thinner than nothing: those are bare, and the steps are not equal.
            for node in nodes {
                sum += seen(sweep.reflectance(thickness_at(thickness_nm, spread, node.deviation))) * node.weight;
            }
            return sum;
        }
        let mut phase = sweep.phase(thickness_at(thickness_nm, spread, first.deviation));
        let turn = sweep.phase(thickness_nm * spread * (second.deviation - first.deviation));
        for node in nodes {
            sum += seen(sweep.reflectance_at(phase)) * node.weight;
            phase = phase * turn;
        }
        sum
    }
}
