//! A spectral quantity as published: values at rising wavelengths.

/// A light's relative power, or one function of an observer, against wavelength.
#[derive(Debug, Clone, PartialEq)]
pub struct SpectralTable {
    wavelength_nm: Vec<f64>,
    value: Vec<f64>,
}

impl SpectralTable {
    /// `None` unless both are equally long, hold at least two finite points, and wavelengths rise.
    pub fn new(wavelength_nm: Vec<f64>, value: Vec<f64>) -> Option<Self> {
        let finite = wavelength_nm.iter().chain(&value).all(|v| v.is_finite());
        let rising = wavelength_nm.windows(2).all(|w| w[0] < w[1]);
        (finite && rising && wavelength_nm.len() >= 2 && wavelength_nm.len() == value.len())
            .then_some(Self { wavelength_nm, value })
    }

    /// Linear between points; 0 outside the table.
    pub fn at(&self, wavelength_nm: f64) -> f64 {
        let grid = &self.wavelength_nm;
        let after = grid.partition_point(|w| *w <= wavelength_nm);
        if after == 0 {
            return 0.0;
        }
        if after == grid.len() {
            return if wavelength_nm > grid[after - 1] { 0.0 } else { self.value[after - 1] };
        }
        let share = (wavelength_nm - grid[after - 1]) / (grid[after] - grid[after - 1]);
        self.value[after - 1] + share * (self.value[after] - self.value[after - 1])
    }

    /// First and last wavelength, nm.
    pub fn range_nm(&self) -> (f64, f64) {
        (self.wavelength_nm[0], self.wavelength_nm[self.wavelength_nm.len() - 1])
    }
}
