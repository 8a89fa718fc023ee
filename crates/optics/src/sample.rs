//! A whole finish to its reflectance spectrum.

use crate::coats::{Coat, Cover, cover};
use crate::complex::Cx;
use crate::directions::Directions;
use crate::error::OpticsError;
use crate::facets::ROUGHNESS_LIMIT;
use crate::scalar::Real;
use crate::spread::{FULL_PRODUCT, Node, joint_nodes, normal_nodes, thickness_at};
use crate::stack::{Medium, POLARISATIONS, Polarisation, Slab, ratio_at_top};
use crate::sweep::{Spectrum, Unpolarised};
use crate::turned::Turned;
use std::f64::consts::TAU;

/// A film hides what lies below when its round trip leaves exp(-HIDDEN) of the wave, 1e-6.
const HIDDEN: f64 = 14.0;

/// A part of a film that has one index: a share of the film's thickness. Most films have one layer with share 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer<T> {
    /// Share of the film's thickness, 0..=1.
    pub share: T,
    /// Index at each wavelength of the sample.
    pub index: Vec<Cx<T>>,
}

/// One film as it is made: its layers (from the base outward) thicken and spread together.
#[derive(Debug, Clone, PartialEq)]
pub struct Film<T> {
    /// Layers from the base outward.
    pub layers: Vec<Layer<T>>,
    /// Mean thickness, nm.
    pub thickness_nm: T,
    /// Relative rms variation of thickness inside the viewed patch; films vary independently of one another.
    pub spread: T,
}

/// The shape of the surface. Mirror: both 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Texture<T> {
    /// Micro-roughness, nm rms; takes light out of the mirror direction.
    pub roughness_nm: T,
    /// Rms lean of facets, degrees; the film is then seen at many angles at once.
    pub slope_deg: T,
}

impl<T: Real> Texture<T> {
    /// Flat and smooth.
    pub fn mirror() -> Self {
        Self { roughness_nm: T::of(0.0), slope_deg: T::of(0.0) }
    }
}

/// Which part of the reflected light is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Geometry {
    /// All of it (specular component included, as ISO 8654).
    Included,
    /// All but the mirror reflection.
    Excluded,
    /// The mirror reflection alone.
    Specular,
}

/// Films whose spread is averaged over together: beyond, the points of the sequence lie too thin.
const MOST_UNEVEN: usize = 60;
/// Most parts that an even sequence is dealt out in: each keeps more than a thousand points.
const MOST_PARTS: usize = 8;

/// Run number `part` of `parts` of the nodes, with weights that sum to one: a run of an even sequence is even itself.
fn part_of(nodes: &[(Vec<f64>, f64)], part: usize, parts: usize) -> Vec<(Vec<f64>, f64)> {
    let at = |p: usize| p * nodes.len() / parts;
    let mut share = nodes[at(part)..at(part + 1)].to_vec();
    let sum: f64 = share.iter().map(|(_, weight)| weight).sum();
    for (_, weight) in &mut share {
        *weight /= sum;
    }
    share
}

/// From where and how the sample is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Angle from the normal in the medium above, 0..=85 degrees.
    pub tilt_deg: f64,
    /// What is measured.
    pub geometry: Geometry,
}

/// A finish on a grid of wavelengths.
#[derive(Debug, Clone, PartialEq)]
pub struct Sample<T> {
    /// The grid, nm.
    pub wavelength_nm: Vec<f64>,
    /// Index of the medium above at each wavelength (air: 1).
    pub ambient_n: Vec<f64>,
    /// Index of the base at each wavelength.
    pub base: Vec<Cx<T>>,
    /// Films from the base outward.
    pub films: Vec<Film<T>>,
    /// Clear coats from the films outward.
    pub over: Vec<Coat>,
    /// Shape of the surface.
    pub texture: Texture<T>,
}

/// The film that a slab belongs to, with the slab's share of it; `None` for a coat.
pub(crate) type Owner<T> = Option<(usize, T)>;

impl<T: Real> Sample<T> {
    /// Reflectance (0..=1) at each wavelength.
    ///
    /// # Errors
    /// [`OpticsError`] when the tilt or the roughness is outside what the formulas hold for.
    pub fn reflectance(&self, view: View) -> Result<Vec<T>, OpticsError> {
        if let Some(which) = self.uneven_alone()
            && let Some(turned) = Turned::new(self, view, which)?
        {
            return Ok(turned.reflectance(self.films[which].thickness_nm));
        }
        let directions = Directions::of(self, view)?;
        let nodes = self.spread_nodes();
        // Where an even sequence stands for many films, each direction takes its own part of it: together they take all.
        let parts = if nodes.len() > FULL_PRODUCT { directions.count().clamp(1, MOST_PARTS) } else { 1 };
        let shares: Vec<Vec<(Vec<f64>, f64)>> = (0..parts).map(|p| part_of(&nodes, p, parts)).collect();
        let at = |w: usize, d: usize, s2: T| self.at(w, s2, &shares[d % parts]);
        Ok((0..self.wavelength_nm.len()).map(|w| directions.sum(self, w, |d, s2| at(w, d, s2))).collect())
    }

    /// The only film whose spread matters, if there is exactly one and it has one layer.
    fn uneven_alone(&self) -> Option<usize> {
        let mut uneven = (0..self.films.len()).filter(|f| self.is_uneven(*f));
        let which = uneven.next()?;
        (uneven.next().is_none() && self.films[which].layers.len() == 1).then_some(which)
    }

    /// Whether the spread of film number `which` can be seen.
    pub(crate) fn is_uneven(&self, which: usize) -> bool {
        let film = &self.films[which];
        film.spread.value() > 0.0 && !self.hides(film)
    }

    pub(crate) fn check(&self, view: View) -> Result<(), OpticsError> {
        if !(0.0..=85.0).contains(&view.tilt_deg) {
            return Err(OpticsError::TiltOutOfRange { given_deg: view.tilt_deg });
        }
        let in_medium = self.wavelength_nm.iter().zip(&self.ambient_n).map(|(w, n)| w / n);
        let limit_nm = ROUGHNESS_LIMIT * in_medium.fold(f64::INFINITY, f64::min);
        let given_nm = self.texture.roughness_nm.value();
        let uneven = (0..self.films.len()).filter(|f| self.is_uneven(*f)).count();
        if uneven > MOST_UNEVEN {
            return Err(OpticsError::TooManyUneven { given: uneven, most: MOST_UNEVEN });
        }
        // With the specular component included all light is measured, and the loss formula is not used.
        if view.geometry != Geometry::Included && given_nm > limit_nm {
            return Err(OpticsError::RoughnessBeyondFormula { given_nm, limit_nm });
        }
        Ok(())
    }

    /// Sum of n d over films and thin coats at the wavelength nearest 550 nm, in nm: how finely the spectrum is fringed.
    pub fn optical_thickness_nm(&self) -> f64 {
        let Some(w) = (0..self.wavelength_nm.len()).min_by(|a, b| {
            let off = |w: usize| (self.wavelength_nm[w] - 550.0).abs();
            off(*a).total_cmp(&off(*b))
        }) else {
            return 0.0;
        };
        let films = self
            .films
            .iter()
            .flat_map(|film| film.layers.iter().map(move |l| (l.index[w].re * l.share * film.thickness_nm).value()));
        let coats = self.over.iter().filter(|c| !c.is_thick()).map(|c| c.index[w].re * c.thickness_um * 1e3);
        films.chain(coats).sum()
    }

    /// Deviations of the films with spread, at which the reflectance is averaged. Films without spread do not deviate.
    fn spread_nodes(&self) -> Vec<(Vec<f64>, f64)> {
        let each: Vec<_> = self
            .films
            .iter()
            .filter(|film| film.spread.value() > 0.0)
            .map(|film| {
                if self.hides(film) {
                    // Light never reaches its bottom: one node at the mean.
                    return vec![Node { deviation: 0.0, weight: 1.0 }];
                }
                self.nodes_of(film, film.thickness_nm.value())
            })
            .collect();
        joint_nodes(&each)
    }

    /// Nodes that average over the spread of `film` at a mean of `thickness_nm`.
    pub(crate) fn nodes_of(&self, film: &Film<T>, thickness_nm: f64) -> Vec<Node> {
        let shortest = self.wavelength_nm.iter().copied().fold(f64::INFINITY, f64::min);
        let n = film.layers.iter().flat_map(|l| l.index.iter()).map(|i| i.re.value()).fold(0.0, f64::max);
        normal_nodes(2.0 * TAU / shortest * n * thickness_nm * film.spread.value())
    }

    /// Whether a film swallows all light on its way down and up, so that its thickness plays no part.
    pub(crate) fn hides(&self, film: &Film<T>) -> bool {
        (0..self.wavelength_nm.len()).all(|w| {
            let depth: f64 = film.layers.iter().map(|l| (l.index[w].im * l.share * film.thickness_nm).value()).sum();
            2.0 * TAU / self.wavelength_nm[w] * depth > HIDDEN
        })
    }

    /// Unpolarised reflectance at wavelength number `w` for light with s^2 = (n0 sin angle)^2.
    fn at(&self, w: usize, s2: T, nodes: &[(Vec<f64>, f64)]) -> T {
        let wavelength = self.wavelength_nm[w];
        let base = Medium::new(self.base[w], s2);
        let (thin, covers) = self.coats_at(w);
        let top_n = covers.first().map_or(self.ambient_n[w], |c| c.coat.re);
        let ambient = Medium::new(Cx::of(top_n, 0.0), s2);

        let (mut slabs, owner) = self.slabs(w, s2, &thin);

        let wanted: &[Polarisation] = if s2.value() > 0.0 { &POLARISATIONS } else { &POLARISATIONS[..1] };
        let mut sum = T::of(0.0);
        for (deviations, weight) in nodes {
            if !deviations.is_empty() {
                let each = self.thicknesses(deviations);
                for (slab, owner) in slabs.iter_mut().zip(&owner) {
                    if let Some((f, share)) = owner {
                        slab.thickness_nm = each[*f] * *share;
                    }
                }
            }
            for polarisation in wanted {
                let mut r = ratio_at_top(wavelength, &ambient, &slabs, &base, *polarisation).reflectance();
                if !covers.is_empty() {
                    r = cover(r, &covers, self.ambient_n[w], s2.value(), wavelength, *polarisation);
                }
                sum += r * *weight;
            }
        }
        if wanted.len() == 2 { sum * 0.5 } else { sum }
    }

    /// The slabs at wavelength number `w`, and which film each belongs to.
    pub(crate) fn slabs(&self, w: usize, s2: T, thin: &[(Cx<f64>, f64)]) -> (Vec<Slab<T>>, Vec<Owner<T>>) {
        let (mut slabs, mut owner) = (Vec::new(), Vec::new());
        for (f, film) in self.films.iter().enumerate() {
            for layer in &film.layers {
                slabs.push(Slab {
                    medium: Medium::new(layer.index[w], s2),
                    thickness_nm: film.thickness_nm * layer.share,
                });
                owner.push(Some((f, layer.share)));
            }
        }
        for (index, nm) in thin {
            slabs.push(Slab { medium: Medium::new(index.lift(), s2), thickness_nm: T::of(*nm) });
            owner.push(None);
        }
        (slabs, owner)
    }

    fn thicknesses(&self, deviations: &[f64]) -> Vec<T> {
        let mut deviations = deviations.iter();
        self.films
            .iter()
            .map(|film| {
                if film.spread.value() > 0.0 {
                    thickness_at(film.thickness_nm, film.spread, deviations.next().copied().unwrap_or(0.0))
                } else {
                    film.thickness_nm
                }
            })
            .collect()
    }

    /// Thin coats below the first thick one, and the thick ones with the thin coats that lie on each.
    pub(crate) fn coats_at(&self, w: usize) -> (Vec<(Cx<f64>, f64)>, Vec<Cover>) {
        let mut thin = Vec::new();
        let mut covers: Vec<Cover> = Vec::new();
        for coat in &self.over {
            let (index, thickness_nm) = (coat.index[w], coat.thickness_um * 1e3);
            if coat.is_thick() {
                covers.push(Cover { coat: index, thickness_nm, thin_above: Vec::new() });
            } else if let Some(cover) = covers.last_mut() {
                cover.thin_above.push((index, thickness_nm));
            } else {
                thin.push((index, thickness_nm));
            }
        }
        (thin, covers)
    }
}

impl Sample<f64> {
    /// The closed form in the thickness of film number `which`, for scans of a flat, even sample: texture and spread are
    /// left out. `None` when that film has several layers or a thick coat lies over it.
    pub fn sweep(&self, tilt_deg: f64, which: usize) -> Option<Spectrum> {
        let swept = self.films.get(which)?;
        if swept.layers.len() != 1 || self.over.iter().any(Coat::is_thick) {
            return None;
        }
        let number = self.films[..which].iter().map(|f| f.layers.len()).sum();
        let sine = libm::sin(tilt_deg.to_radians());
        let each = (0..self.wavelength_nm.len())
            .map(|w| {
                let n0 = self.ambient_n[w];
                let s2 = (n0 * sine) * (n0 * sine);
                let mut slabs: Vec<Slab<f64>> = Vec::new();
                for film in &self.films {
                    for layer in &film.layers {
                        let thickness_nm = film.thickness_nm * layer.share;
                        slabs.push(Slab { medium: Medium::new(layer.index[w], s2), thickness_nm });
                    }
                }
                for coat in &self.over {
                    let thickness_nm = coat.thickness_um * 1e3;
                    slabs.push(Slab { medium: Medium::new(coat.index[w], s2), thickness_nm });
                }
                let ambient = Medium::new(Cx::of(n0, 0.0), s2);
                let base = Medium::new(self.base[w], s2);
                Unpolarised::new(self.wavelength_nm[w], &ambient, &slabs, &base, number, s2 <= 0.0)
            })
            .collect();
        Some(Spectrum::new(each))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Points dealt out over the directions of a matte surface against all points in every direction.
    #[test]
    fn dealt_points_stand_for_all_of_them() {
        let grid = [420.0, 500.0, 580.0, 660.0];
        let film = |n: f64, thickness_nm: f64, spread: f64| Film {
            layers: vec![Layer { share: 1.0, index: vec![Cx::of(n, 0.0); grid.len()] }],
            thickness_nm,
            spread,
        };
        let sample = Sample {
            wavelength_nm: grid.to_vec(),
            ambient_n: vec![1.0; grid.len()],
            base: vec![Cx::of(2.3, 2.9); grid.len()],
            films: vec![film(1.5, 500.0, 0.15), film(2.3, 600.0, 0.1), film(1.46, 500.0, 0.1)],
            over: Vec::new(),
            texture: Texture { roughness_nm: 0.0, slope_deg: 8.0 },
        };
        let view = View { tilt_deg: 20.0, geometry: Geometry::Included };
        let nodes = sample.spread_nodes();
        let directions = Directions::of(&sample, view).unwrap();
        assert!(nodes.len() > FULL_PRODUCT && directions.count() > MOST_PARTS);
        let dealt = sample.reflectance(view).unwrap();
        for (w, dealt) in dealt.iter().enumerate() {
            let all = directions.sum(&sample, w, |_, s2| sample.at(w, s2, &nodes));
            // As far as the even points themselves are trusted (spread.rs).
            assert!((dealt - all).abs() < 1e-3, "{} nm: {dealt} {all}", grid[w]);
        }
    }
}
