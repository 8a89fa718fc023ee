//! Films on a base: reflection by a recursion that cannot overflow, and where the energy goes.
//!
//! For each polarisation a medium has an axial index q = sqrt(N^2 - s^2), s = n0 sin(angle), on the branch Im q >= 0,
//! and an admittance eta (s: q, p: N^2/q). Going outward from the base, the reflection G = P/Q seen at the top of what
//! has been built passes film and interface as
//!     P' = (eo - ei) Q + (eo + ei) ph P,    Q' = (eo + ei) Q + (eo - ei) ph P,    ph = exp(2 i k0 q d)
//! (Airy's formula as a ratio). |ph| <= 1, so nothing grows with thickness; there is one division, at the end.
//! Source: H. A. Macleod, Thin-Film Optical Filters, ch. 2 (admittances); G. B. Airy (1833) for the sum of bounces.

use crate::complex::Cx;
use crate::scalar::Real;
use std::f64::consts::TAU;

/// Which way the field swings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Polarisation {
    /// Electric field across the plane of incidence.
    S,
    /// Electric field in the plane of incidence.
    P,
}

/// Both polarisations, for sums.
pub const POLARISATIONS: [Polarisation; 2] = [Polarisation::S, Polarisation::P];

/// Renormalise P and Q after so many films: |Q| grows by the sum of two admittances per film (some tenfold at grazing
/// angles), so 32 keep far from the end of f64.
pub(crate) const RENORMALISE_EVERY: usize = 32;

/// One medium as a wave at a given s^2 meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Medium<T> {
    /// Axial index q.
    pub axial: Cx<T>,
    square: Cx<T>,
}

impl<T: Real> Medium<T> {
    /// A medium of index `index` met by a wave whose s^2 = (n0 sin angle)^2 is `s2`.
    pub fn new(index: Cx<T>, s2: T) -> Self {
        let square = index * index;
        Self { axial: (square - Cx::new(s2, T::of(0.0))).sqrt_decaying(), square }
    }

    /// Admittance in units of that of free space.
    pub fn admittance(&self, polarisation: Polarisation) -> Cx<T> {
        match polarisation {
            Polarisation::S => self.axial,
            Polarisation::P => self.square / self.axial,
        }
    }

    /// exp(2 i k0 q d): what a wave keeps on its way down and up through `thickness_nm`.
    pub fn round_trip(&self, wavelength_nm: f64, thickness_nm: T) -> Cx<T> {
        self.axial.scale(thickness_nm * (2.0 * TAU / wavelength_nm)).exp_i()
    }
}

/// The state of the recursion: reflection as a ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ratio<T> {
    pub(crate) p: Cx<T>,
    pub(crate) q: Cx<T>,
}

impl<T: Real> Ratio<T> {
    /// Nothing built yet: no reflected wave.
    pub(crate) fn start() -> Self {
        Self { p: Cx::of(0.0, 0.0), q: Cx::of(1.0, 0.0) }
    }

    /// Adds the interface from `inner` (whose thickness gave `phase`) to `outer`.
    pub(crate) fn pass(self, phase: Cx<T>, inner: Cx<T>, outer: Cx<T>) -> Self {
        let (sum, difference) = (outer + inner, outer - inner);
        let p = phase * self.p;
        Self { p: difference * self.q + sum * p, q: sum * self.q + difference * p }
    }

    pub(crate) fn renormalised(self) -> Self {
        self.scaled(T::of(1.0) / self.q.norm_sqr().sqrt())
    }

    /// The same reflection, both numbers times `size`.
    pub(crate) fn scaled(self, size: T) -> Self {
        Self { p: self.p.scale(size), q: self.q.scale(size) }
    }

    /// |P/Q|^2.
    pub(crate) fn reflectance(self) -> T {
        self.p.norm_sqr() / self.q.norm_sqr()
    }
}

/// One film at one wavelength: the medium and its thickness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slab<T> {
    /// The medium.
    pub medium: Medium<T>,
    /// Thickness, nm.
    pub thickness_nm: T,
}

/// Reflectance (0..=1) of `films` (from the base outward) on `base`, seen from `ambient`, for one polarisation.
pub fn reflectance<T: Real>(
    wavelength_nm: f64,
    ambient: &Medium<T>,
    films: &[Slab<T>],
    base: &Medium<T>,
    polarisation: Polarisation,
) -> T {
    ratio_at_top(wavelength_nm, ambient, films, base, polarisation).reflectance()
}

pub(crate) fn ratio_at_top<T: Real>(
    wavelength_nm: f64,
    ambient: &Medium<T>,
    films: &[Slab<T>],
    base: &Medium<T>,
    polarisation: Polarisation,
) -> Ratio<T> {
    let mut state = Ratio::start();
    let mut inner = base.admittance(polarisation);
    let mut phase = Cx::of(1.0, 0.0);
    for (number, film) in films.iter().enumerate() {
        let outer = film.medium.admittance(polarisation);
        state = state.pass(phase, inner, outer);
        if number % RENORMALISE_EVERY == RENORMALISE_EVERY - 1 {
            state = state.renormalised();
        }
        inner = outer;
        phase = film.medium.round_trip(wavelength_nm, film.thickness_nm);
    }
    state.pass(phase, inner, ambient.admittance(polarisation))
}

/// Where the light of one polarisation goes, as shares of what comes in.
#[derive(Debug, Clone, PartialEq)]
pub struct Energy {
    /// Sent back.
    pub reflected: f64,
    /// Turned to heat in each film, from the base outward.
    pub absorbed: Vec<f64>,
    /// Passed into the base.
    pub transmitted: f64,
}

/// The energy balance: fields are followed inward and the flux through every interface is taken from them, so that
/// reflected + absorbed + transmitted = 1 is a test of the fields and not a definition. The incident medium is clear.
pub fn energy(
    wavelength_nm: f64,
    ambient: &Medium<f64>,
    films: &[Slab<f64>],
    base: &Medium<f64>,
    polarisation: Polarisation,
) -> Energy {
    // Reflection seen inside each film at its bottom and at its top, from the base outward.
    let mut inside = Vec::with_capacity(films.len());
    let mut below = *base;
    let mut at_top = Cx::of(0.0, 0.0);
    for film in films {
        let at_bottom = cross(at_top, below.admittance(polarisation), film.medium.admittance(polarisation));
        at_top = at_bottom * film.medium.round_trip(wavelength_nm, film.thickness_nm);
        inside.push((at_bottom, at_top));
        below = film.medium;
    }
    let outer = ambient.admittance(polarisation);
    let front = cross(at_top, below.admittance(polarisation), outer);

    // Inward again: the tangential field `total` at each interface, and the flux Re[E conj(eta (E+ - E-))] / eta0.
    let one = Cx::of(1.0, 0.0);
    let mut total = one + front;
    let mut fluxes = Vec::with_capacity(films.len() + 1);
    for (film, (at_bottom, at_top)) in films.iter().zip(&inside).rev() {
        let forward = total / (one + *at_top);
        let eta = film.medium.admittance(polarisation);
        fluxes.push((total * (eta * (forward - *at_top * forward)).conj()).re / outer.re);
        let down = film.medium.axial.scale(film.thickness_nm * (TAU / wavelength_nm)).exp_i();
        total = forward * down * (one + *at_bottom);
    }
    let transmitted = (total * (base.admittance(polarisation) * total).conj()).re / outer.re;
    fluxes.push(transmitted);
    // Fluxes run from the top inward; films from the base outward.
    let absorbed = fluxes.windows(2).map(|w| w[0] - w[1]).rev().collect();
    Energy { reflected: front.norm_sqr(), absorbed, transmitted }
}

fn cross(gamma: Cx<f64>, inner: Cx<f64>, outer: Cx<f64>) -> Cx<f64> {
    Ratio { p: gamma, q: Cx::of(1.0, 0.0) }.pass(Cx::of(1.0, 0.0), inner, outer).quotient()
}

impl Ratio<f64> {
    fn quotient(self) -> Cx<f64> {
        self.p / self.q
    }
}
