//! A light and an observer: the weights that turn a spectrum into tristimulus values.

use crate::lab::{Lab, Xyz};
use crate::table::SpectralTable;

/// A viewing that cannot be formed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ViewingError {
    /// The light has no power where the observer sees.
    #[error(
        "the light '{light}' cannot serve: between {from_nm} and {to_nm} nm its power must be finite and reach red, green \
         and blue"
    )]
    Dark {
        /// The light's name.
        light: String,
        /// First wavelength of the grid.
        from_nm: f64,
        /// Last wavelength of the grid.
        to_nm: f64,
    },
}

/// Least share of Y that X and Z of a white must have: light of 589 nm alone has Z/Y 0.0015.
const LEAST_SHARE: f64 = 1e-4;

/// A light seen by an observer on a grid of equal steps. Sums are plain sums over the grid; the white is the sum for a
/// perfect reflector on the same grid, so that R = 1 gives exactly L* = 100, a* = b* = 0.
#[derive(Debug, Clone, PartialEq)]
pub struct Viewing {
    /// Name of the light, such as `D65`.
    pub light: String,
    /// `2` or `10`: the observer's field in degrees.
    pub observer: String,
    wavelength_nm: Vec<f64>,
    weights: Vec<[f64; 3]>,
    white: Xyz,
}

impl Viewing {
    /// Weights of `light` for the observer functions `xyz` on `wavelength_nm` (equal steps).
    ///
    /// # Errors
    /// [`ViewingError::Dark`] when no light is seen.
    pub fn new(
        light: (&str, &SpectralTable),
        observer: (&str, &[SpectralTable; 3]),
        wavelength_nm: &[f64],
    ) -> Result<Self, ViewingError> {
        let mut weights: Vec<[f64; 3]> = wavelength_nm
            .iter()
            .map(|w| {
                let power = light.1.at(*w);
                [0, 1, 2].map(|i| power * observer.1[i].at(*w))
            })
            .collect();
        let total: f64 = weights.iter().map(|w| w[1]).sum();
        // A light that leaves one of the three sums dark has no white to judge by.
        let sums = [0, 1, 2].map(|i| weights.iter().map(|w| w[i]).sum::<f64>());
        let usable = sums.iter().all(|s| s.is_finite() && *s > LEAST_SHARE * total);
        if !total.is_finite() || total <= 0.0 || !usable {
            return Err(ViewingError::Dark {
                light: light.0.to_owned(),
                from_nm: wavelength_nm.first().copied().unwrap_or(0.0),
                to_nm: wavelength_nm.last().copied().unwrap_or(0.0),
            });
        }
        for weight in &mut weights {
            *weight = weight.map(|v| 100.0 * v / total);
        }
        let white = weigh(&weights, std::iter::repeat(1.0));
        Ok(Self {
            light: light.0.to_owned(),
            observer: observer.0.to_owned(),
            wavelength_nm: wavelength_nm.to_vec(),
            weights,
            white,
        })
    }

    /// The grid, nm.
    pub fn wavelength_nm(&self) -> &[f64] {
        &self.wavelength_nm
    }

    /// The white: a perfect reflector.
    pub fn white(&self) -> Xyz {
        self.white
    }

    /// Tristimulus values of a reflectance (0..=1) on the grid. Values beyond the shorter of both are left out.
    pub fn xyz(&self, reflectance: &[f64]) -> Xyz {
        weigh(&self.weights, reflectance.iter().copied())
    }

    /// Lab of a reflectance (0..=1) on the grid, against [`Viewing::white`].
    pub fn lab(&self, reflectance: &[f64]) -> Lab {
        self.xyz(reflectance).to_lab(self.white)
    }
}

fn weigh(weights: &[[f64; 3]], reflectance: impl Iterator<Item = f64>) -> Xyz {
    let mut sum = [0.0; 3];
    for (weight, r) in weights.iter().zip(reflectance) {
        for (s, w) in sum.iter_mut().zip(weight) {
            *s += w * r;
        }
    }
    Xyz { x: sum[0], y: sum[1], z: sum[2] }
}
