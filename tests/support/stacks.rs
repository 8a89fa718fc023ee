//! Films given by numbers: `n k thickness_nm` parted by `;`, from the base outward.

use optics::stack::{Energy, Medium, Polarisation, Slab, energy, reflectance};
use optics::{Cx, Film, Layer, Sample, Texture};

/// A stack with the same n and k at every wavelength.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    /// Index of the clear medium above.
    pub ambient_n: f64,
    /// Index of the base.
    pub base: Cx<f64>,
    /// Index and thickness in nm, from the base outward.
    pub films: Vec<(Cx<f64>, f64)>,
}

/// The films of a cell such as `2.45 0 50;1.46 0 100`.
///
/// # Panics
/// When the cell is no such list.
pub fn films(cell: &str) -> Vec<(Cx<f64>, f64)> {
    cell.split(';')
        .filter(|film| !film.trim().is_empty())
        .map(|film| {
            let numbers: Vec<f64> =
                film.split_whitespace().map(|v| v.parse().unwrap_or_else(|_| panic!("'{v}' in '{cell}'"))).collect();
            let [n, k, thickness_nm] = numbers[..] else { panic!("'{film}' is not 'n k thickness_nm'") };
            (Cx::of(n, k), thickness_nm)
        })
        .collect()
}

/// `s` or `p`.
///
/// # Panics
/// On any other word.
pub fn polarisation(word: &str) -> Polarisation {
    match word {
        "s" => Polarisation::S,
        "p" => Polarisation::P,
        other => panic!("'{other}' is no polarisation"),
    }
}

impl Stack {
    /// Nothing but a base, in air.
    pub fn bare(base: Cx<f64>) -> Self {
        Self { ambient_n: 1.0, base, films: Vec::new() }
    }

    /// s^2 = (n0 sin angle)^2.
    pub fn s2(&self, angle_deg: f64) -> f64 {
        let s = self.ambient_n * angle_deg.to_radians().sin();
        s * s
    }

    /// The medium above, the films and the base, as a wave at this angle meets them.
    pub fn media(&self, angle_deg: f64) -> (Medium<f64>, Vec<Slab<f64>>, Medium<f64>) {
        let s2 = self.s2(angle_deg);
        let slabs = self
            .films
            .iter()
            .map(|(index, thickness_nm)| Slab { medium: Medium::new(*index, s2), thickness_nm: *thickness_nm })
            .collect();
        (Medium::new(Cx::of(self.ambient_n, 0.0), s2), slabs, Medium::new(self.base, s2))
    }

    /// Reflectance for one polarisation.
    pub fn reflectance(&self, wavelength_nm: f64, angle_deg: f64, polarisation: Polarisation) -> f64 {
        let (ambient, slabs, base) = self.media(angle_deg);
        reflectance(wavelength_nm, &ambient, &slabs, &base, polarisation)
    }

    /// Energy balance for one polarisation.
    pub fn energy(&self, wavelength_nm: f64, angle_deg: f64, polarisation: Polarisation) -> Energy {
        let (ambient, slabs, base) = self.media(angle_deg);
        energy(wavelength_nm, &ambient, &slabs, &base, polarisation)
    }

    /// The same stack as a sample on a grid, flat and smooth.
    pub fn sample(&self, wavelength_nm: &[f64]) -> Sample<f64> {
        let count = wavelength_nm.len();
        Sample {
            wavelength_nm: wavelength_nm.to_vec(),
            ambient_n: vec![self.ambient_n; count],
            base: vec![self.base; count],
            films: self
                .films
                .iter()
                .map(|(index, thickness_nm)| Film {
                    layers: vec![Layer { share: 1.0, index: vec![*index; count] }],
                    thickness_nm: *thickness_nm,
                    spread: 0.0,
                })
                .collect(),
            over: Vec::new(),
            texture: Texture::mirror(),
        }
    }
}
