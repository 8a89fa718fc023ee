//! The closed form in the thickness of one film: r = (A + B ph) / (C + D ph), ph = exp(2 i k0 q d).
//!
//! Whatever lies below the film gives one reflection, whatever lies above acts on it as a Moebius map, so four complex
//! numbers per wavelength and polarisation hold the rest of the stack. One colour of a sweep then costs the same
//! however many films there are. Ribbons, searches and fits sit on this.

use crate::complex::Cx;
use crate::scalar::Real;
use crate::stack::{Medium, POLARISATIONS, Polarisation, RENORMALISE_EVERY, Ratio, Slab, ratio_at_top};

/// Coefficients of one wavelength, angle and polarisation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sweep<T> {
    a: Cx<T>,
    b: Cx<T>,
    c: Cx<T>,
    d: Cx<T>,
    medium: Medium<T>,
    wavelength_nm: f64,
}

impl<T: Real> Sweep<T> {
    /// The sweep over the thickness of film number `which` (from the base, 0-based); its own thickness is ignored.
    ///
    /// # Panics
    /// When `which` is not a film.
    pub fn new(
        wavelength_nm: f64,
        ambient: &Medium<T>,
        films: &[Slab<T>],
        base: &Medium<T>,
        polarisation: Polarisation,
        which: usize,
    ) -> Self {
        let swept = films[which].medium;
        let below = ratio_at_top(wavelength_nm, &swept, &films[..which], base, polarisation).renormalised();
        // The map of what lies above, from its action on the two unit states. One factor scales both, now and then.
        let (zero, one) = (Cx::of(0.0, 0.0), Cx::of(1.0, 0.0));
        let (mut still, mut moving) = (Ratio { p: zero, q: one }, Ratio { p: one, q: zero });
        let mut inner = swept.admittance(polarisation);
        let mut phase = one;
        for (number, film) in films[which + 1..].iter().enumerate() {
            let outer = film.medium.admittance(polarisation);
            (still, moving) = (still.pass(phase, inner, outer), moving.pass(phase, inner, outer));
            if number % RENORMALISE_EVERY == RENORMALISE_EVERY - 1 {
                let size = T::of(1.0) / still.q.norm_sqr().sqrt();
                (still, moving) = (still.scaled(size), moving.scaled(size));
            }
            phase = film.medium.round_trip(wavelength_nm, film.thickness_nm);
            inner = outer;
        }
        let outermost = ambient.admittance(polarisation);
        let (still, moving) = (still.pass(phase, inner, outermost), moving.pass(phase, inner, outermost));
        Self {
            a: still.p * below.q,
            b: moving.p * below.p,
            c: still.q * below.q,
            d: moving.q * below.p,
            medium: swept,
            wavelength_nm,
        }
    }

    /// Reflectance at `thickness_nm` of the swept film.
    pub fn reflectance(&self, thickness_nm: T) -> T {
        self.reflectance_at(self.phase(thickness_nm))
    }

    /// The phase of a round trip through `thickness_nm` of the swept film.
    pub(crate) fn phase(&self, thickness_nm: T) -> Cx<T> {
        self.medium.round_trip(self.wavelength_nm, thickness_nm)
    }

    /// Reflectance at a phase of the round trip.
    pub(crate) fn reflectance_at(&self, phase: Cx<T>) -> T {
        (self.a + self.b * phase).norm_sqr() / (self.c + self.d * phase).norm_sqr()
    }
}

/// Unpolarised light: the mean of both sweeps; at normal incidence one serves for both.
#[derive(Debug, Clone, PartialEq)]
pub struct Unpolarised<T> {
    sweeps: Vec<Sweep<T>>,
}

impl<T: Real> Unpolarised<T> {
    /// As [`Sweep::new`], for both polarisations; `normal` says that the light falls straight on.
    ///
    /// # Panics
    /// When `which` is not a film.
    pub fn new(
        wavelength_nm: f64,
        ambient: &Medium<T>,
        films: &[Slab<T>],
        base: &Medium<T>,
        which: usize,
        normal: bool,
    ) -> Self {
        let wanted: &[Polarisation] = if normal { &POLARISATIONS[..1] } else { &POLARISATIONS };
        let sweeps = wanted.iter().map(|p| Sweep::new(wavelength_nm, ambient, films, base, *p, which)).collect();
        Self { sweeps }
    }

    /// Reflectance at `thickness_nm` of the swept film.
    pub fn reflectance(&self, thickness_nm: T) -> T {
        let mut sum = T::of(0.0);
        for sweep in &self.sweeps {
            sum += sweep.reflectance(thickness_nm);
        }
        sum / f64::from(u8::try_from(self.sweeps.len()).unwrap_or(1))
    }
}

/// A sweep over a whole grid of wavelengths, for many thicknesses in equal steps.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectrum {
    each: Vec<Unpolarised<f64>>,
}

/// Rotating a phase by repeated multiplication drifts by a rounding each step; it is set anew after so many.
const RENEW_EVERY: usize = 256;

impl Spectrum {
    /// One sweep for each wavelength of a grid.
    pub fn new(each: Vec<Unpolarised<f64>>) -> Self {
        Self { each }
    }

    /// Reflectance at each wavelength for one thickness, into `out`.
    pub fn reflectance(&self, thickness_nm: f64, out: &mut Vec<f64>) {
        out.clear();
        out.extend(self.each.iter().map(|sweep| sweep.reflectance(thickness_nm)));
    }

    /// Calls `visit(step number, reflectance)` for `count` thicknesses from `from_nm` in steps of `step_nm`.
    ///
    /// The phase of each wavelength is advanced by one complex product a step; agreement with [`Spectrum::reflectance`]
    /// is about 1e-13 (tested).
    pub fn walk(&self, from_nm: f64, step_nm: f64, count: usize, mut visit: impl FnMut(usize, &[f64])) {
        let sweeps: Vec<&Sweep<f64>> = self.each.iter().flat_map(|u| &u.sweeps).collect();
        let per_wavelength = self.each.first().map_or(1, |u| u.sweeps.len());
        let turn: Vec<Cx<f64>> = sweeps.iter().map(|s| s.medium.round_trip(s.wavelength_nm, step_nm)).collect();
        let mut phase: Vec<Cx<f64>> = Vec::new();
        let mut out = vec![0.0; self.each.len()];
        for number in 0..count {
            if number % RENEW_EVERY == 0 {
                #[expect(clippy::cast_precision_loss, reason = "step numbers are far below 2^52")]
                let at = from_nm + step_nm * number as f64;
                phase.clear();
                phase.extend(sweeps.iter().map(|s| s.medium.round_trip(s.wavelength_nm, at)));
            }
            for (w, r) in out.iter_mut().enumerate() {
                let mut sum = 0.0;
                for i in w * per_wavelength..(w + 1) * per_wavelength {
                    let (s, ph) = (sweeps[i], phase[i]);
                    sum += (s.a + s.b * ph).norm_sqr() / (s.c + s.d * ph).norm_sqr();
                    phase[i] = ph * turn[i];
                }
                *r = if per_wavelength == 2 { 0.5 * sum } else { sum };
            }
            visit(number, &out);
        }
    }
}
