//! Refractive index against wavelength: tables, dispersion formulas, and formulas with a slider.

use crate::complex::Cx;
use crate::mixing::bruggeman;
use crate::scalar::Real;

/// Planck constant times speed of light over the elementary charge, in eV nm (SI 2019, exact to the digits given).
const HC_EV_NM: f64 = 1_239.841_984_332_002_8;

/// A number, or a piecewise linear function of the family's composition; held at its ends.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameter {
    at: Vec<f64>,
    value: Vec<f64>,
}

impl Parameter {
    /// The same at every composition.
    pub fn fixed(value: f64) -> Self {
        Self { at: vec![0.0], value: vec![value] }
    }

    /// Straight lines through the points (`at`, `value`); `None` unless both are equally long, not empty and `at` rises.
    pub fn piecewise(at: Vec<f64>, value: Vec<f64>) -> Option<Self> {
        let rising = at.windows(2).all(|w| w[0] < w[1]);
        (rising && !at.is_empty() && at.len() == value.len()).then_some(Self { at, value })
    }

    fn eval<T: Real>(&self, x: T) -> T {
        let last = self.at.len() - 1;
        if x.value() <= self.at[0] {
            return T::of(self.value[0]);
        }
        if x.value() >= self.at[last] {
            return T::of(self.value[last]);
        }
        let i = self.at.partition_point(|a| *a <= x.value()) - 1;
        let slope = (self.value[i + 1] - self.value[i]) / (self.at[i + 1] - self.at[i]);
        (x - self.at[i]) * slope + self.value[i]
    }
}

/// One bound oscillator: strength * E0^2 / (E0^2 - E^2 - i width E), energies in eV.
#[derive(Debug, Clone, PartialEq)]
pub struct Oscillator {
    /// Strength, a share of permittivity.
    pub strength: Parameter,
    /// Resonance energy E0, eV.
    pub energy_ev: Parameter,
    /// Width, eV.
    pub width_ev: Parameter,
}

/// How the refractive index follows wavelength (and, for families, composition).
#[derive(Debug, Clone, PartialEq)]
pub enum Dispersion {
    /// A table: n and k linear in wavelength between points (the convention of the open index database), held at the ends.
    Table {
        /// Rising, nm.
        wavelength_nm: Vec<f64>,
        /// Refractive index.
        n: Vec<f64>,
        /// Extinction coefficient, >= 0.
        k: Vec<f64>,
    },
    /// n = a + b/L^2 + c/L^4 with L in micrometres (Cauchy), and one k.
    Cauchy {
        /// Constant term.
        a: f64,
        /// Coefficient of 1/L^2, micrometres squared.
        b_um2: f64,
        /// Coefficient of 1/L^4, micrometres to the fourth.
        c_um4: f64,
        /// Extinction coefficient.
        k: f64,
    },
    /// eps = eps_inf - plasma/(E^2 + i damping E) + oscillators (Drude and Lorentz), N = sqrt(eps).
    DrudeLorentz {
        /// Permittivity from far above the visible.
        epsilon_infinity: Parameter,
        /// Square of the plasma energy, eV^2.
        plasma_ev2: Parameter,
        /// Damping of the free electrons, eV.
        damping_ev: Parameter,
        /// Bound oscillators.
        oscillators: Vec<Oscillator>,
    },
    /// Grains of two phases (Bruggeman); the composition is the volume share of the second.
    Mixture {
        /// The phase at composition 0.
        first: Box<Dispersion>,
        /// The phase at composition 1.
        second: Box<Dispersion>,
    },
    /// Another dispersion with its k replaced.
    WithExtinction {
        /// Where n comes from.
        of: Box<Dispersion>,
        /// The k at every wavelength.
        k: f64,
    },
}

impl Dispersion {
    /// The same n and k at every wavelength.
    pub fn constant(n: f64, k: f64) -> Self {
        Self::Cauchy { a: n, b_um2: 0.0, c_um4: 0.0, k }
    }

    /// N = n + i k at `wavelength_nm`; `composition` (0 to 1) matters to families alone.
    pub fn index<T: Real>(&self, wavelength_nm: f64, composition: T) -> Cx<T> {
        match self {
            Self::Table { wavelength_nm: at, n, k } => {
                let (i, share) = place(at, wavelength_nm);
                let mix = |v: &[f64]| v[i] + share * (v[(i + 1).min(v.len() - 1)] - v[i]);
                Cx::of(mix(n), mix(k))
            }
            Self::Cauchy { a, b_um2, c_um4, k } => {
                let inverse = 1e6 / (wavelength_nm * wavelength_nm);
                Cx::of(a + inverse * (b_um2 + inverse * c_um4), *k)
            }
            Self::DrudeLorentz { epsilon_infinity, plasma_ev2, damping_ev, oscillators } => {
                let e = HC_EV_NM / wavelength_nm;
                let mut epsilon = Cx::new(epsilon_infinity.eval(composition), T::of(0.0));
                let drude = Cx::new(T::of(e * e), damping_ev.eval(composition) * e);
                epsilon = epsilon - Cx::new(plasma_ev2.eval(composition), T::of(0.0)) / drude;
                for oscillator in oscillators {
                    let e0 = oscillator.energy_ev.eval(composition);
                    let square = e0 * e0;
                    let below = Cx::new(square - e * e, -(oscillator.width_ev.eval(composition) * e));
                    epsilon = epsilon + Cx::new(oscillator.strength.eval(composition) * square, T::of(0.0)) / below;
                }
                epsilon.sqrt_decaying()
            }
            Self::Mixture { first, second } => {
                // Each phase is one material: the slider belongs to the mixture, not to its parts.
                let a = first.index(wavelength_nm, T::of(0.0));
                let b = second.index(wavelength_nm, T::of(0.0));
                bruggeman(a, b, composition)
            }
            Self::WithExtinction { of, k } => Cx::new(of.index(wavelength_nm, composition).re, T::of(*k)),
        }
    }
}

/// The interval of `at` that holds `x`, and how far `x` lies in it; beyond the ends, the end itself.
fn place(at: &[f64], x: f64) -> (usize, f64) {
    let after = at.partition_point(|a| *a <= x);
    if after == 0 {
        return (0, 0.0);
    }
    if after == at.len() {
        return (at.len() - 1, 0.0);
    }
    (after - 1, (x - at[after - 1]) / (at[after] - at[after - 1]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_are_linear_between_points_and_held_beyond() {
        let table = Dispersion::Table { wavelength_nm: vec![400.0, 500.0], n: vec![2.0, 3.0], k: vec![0.0, 1.0] };
        assert_eq!(table.index(300.0, 0.0), Cx::of(2.0, 0.0));
        assert_eq!(table.index(450.0, 0.0), Cx::of(2.5, 0.5));
        assert_eq!(table.index(500.0, 0.0), Cx::of(3.0, 1.0));
        assert_eq!(table.index(900.0, 0.0), Cx::of(3.0, 1.0));
    }

    #[test]
    fn a_parameter_bends_where_its_points_are() {
        let p = Parameter::piecewise(vec![0.0, 0.8, 1.0], vec![8.0, 0.0, 0.0]).unwrap();
        assert!((p.eval(0.4) - 4.0).abs() < 1e-12);
        assert!(p.eval(0.9).abs() < 1e-12);
        assert!(Parameter::piecewise(vec![0.0, 0.0], vec![1.0, 2.0]).is_none());
    }
}
