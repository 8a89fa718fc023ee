//! The library made ready, and the conditions under which a colour is seen.

use crate::catalogue::{Catalogue, Compiled, compile};
use crate::error::Fault;
use colour::{Lab, Name, Names, SpectralTable, Viewing};
use library::{InputError, Library, LightHead, ObserverHead, Problem};
use optics::{Geometry, View};

/// A light: one of the library's, or a lamp of one's own.
#[derive(Debug, Clone, PartialEq)]
pub enum Light {
    /// By its word, such as `D65`.
    Named(String),
    /// Relative power of one's own lamp.
    Own {
        /// What to call it.
        name: String,
        /// Rising, nm.
        wavelength_nm: Vec<f64>,
        /// Relative power.
        power: Vec<f64>,
    },
}

/// How a finish is looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Conditions {
    /// The light.
    pub light: Light,
    /// `2` or `10` degrees.
    pub observer: String,
    /// Tilt from the normal, degrees.
    pub tilt_deg: f64,
    /// What part of the reflection is measured.
    pub geometry: Geometry,
}

impl Default for Conditions {
    /// D65, 2 degrees, straight on, specular included, as ISO 8654.
    fn default() -> Self {
        Self {
            light: Light::Named("D65".to_owned()),
            observer: "2".to_owned(),
            tilt_deg: 0.0,
            geometry: Geometry::Included,
        }
    }
}

impl Conditions {
    /// In words, such as `D65, 2 degree observer, tilted by 30 degrees, specular included`.
    pub fn words(&self) -> String {
        let light = match &self.light {
            Light::Named(word) => word,
            Light::Own { name, .. } => name,
        };
        let tilt = if self.tilt_deg == 0.0 { String::new() } else { format!(", tilted by {} degrees", self.tilt_deg) };
        let geometry = match self.geometry {
            Geometry::Included => "specular included",
            Geometry::Excluded => "specular excluded",
            Geometry::Specular => "mirror reflection alone",
        };
        format!("{light}, {} degree observer{tilt}, {geometry}", self.observer)
    }

    /// Tilt and geometry for the optics.
    pub fn view(&self) -> View {
        View { tilt_deg: self.tilt_deg, geometry: self.geometry }
    }
}

/// First and last wavelength of every sum, nm.
const SPAN_NM: (u32, u32) = (380, 780);
/// Step of the usual grid, nm.
pub(crate) const COARSE_NM: u32 = 5;
/// Step where fringes are narrow, nm.
pub(crate) const FINE_NM: u32 = 1;
/// Films whose summed n d exceeds this are summed on the fine grid (product.md; colour.md section 5).
pub(crate) const FINE_ABOVE_NM: f64 = 4_000.0;

/// Wavelengths from 380 to 780 nm.
pub(crate) fn grid(step_nm: u32) -> Vec<f64> {
    (SPAN_NM.0..=SPAN_NM.1).step_by(step_nm as usize).map(f64::from).collect()
}

/// The library made ready for questions.
#[derive(Debug, Clone)]
pub struct Engine {
    library: Library,
    catalogue: Catalogue,
    names: Names,
    grid: Vec<f64>,
}

impl Engine {
    /// Reads and checks the data inside the program.
    ///
    /// # Errors
    /// [`InputError`] when a data file is faulty.
    pub fn new() -> Result<Self, InputError> {
        let library = Library::embedded()?;
        let catalogue = compile(&library)?;
        let rows = library
            .names()
            .iter()
            .map(|row| Name {
                name: row.name.clone(),
                lightness: row.lightness,
                chroma: row.chroma,
                hue: row.hue,
                target: Lab { l: row.target[0], a: row.target[1], b: row.target[2] },
                reason: row.reason.clone(),
            })
            .collect();
        let names = Names::new(rows).ok_or_else(|| {
            Problem::Missing { example: "[[name]]".to_owned(), instead: None }.in_file("colour-names.toml")
        })?;
        Ok(Self { library, catalogue, names, grid: grid(COARSE_NM) })
    }

    /// The data.
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// Trade words for colours.
    pub fn names(&self) -> &Names {
        &self.names
    }

    /// The usual grid, 380 to 780 nm in steps of 5.
    pub fn grid(&self) -> &[f64] {
        &self.grid
    }

    pub(crate) fn compiled(&self, id: &str, source: &str) -> Option<&Compiled> {
        self.catalogue.get(&(id.to_owned(), source.to_owned()))
    }

    /// The viewing under `conditions`, on the usual grid.
    ///
    /// # Errors
    /// [`Fault`] when light or observer are not known, or the light shows nothing.
    pub fn viewing(&self, conditions: &Conditions) -> Result<Viewing, Fault> {
        self.viewing_on(conditions, &self.grid)
    }

    pub(crate) fn viewing_on(&self, conditions: &Conditions, grid: &[f64]) -> Result<Viewing, Fault> {
        let observer = self.observer(&conditions.observer)?;
        let functions = self.functions(observer)?;
        let (name, power) = self.power(&conditions.light)?;
        let power = match conditions.light {
            Light::Own { .. } => averaged(&name, &power, grid)?,
            Light::Named(_) => power,
        };
        Ok(Viewing::new((&name, &power), (&observer.observer, &functions), grid)?)
    }

    /// The light by its word; letter case does not count.
    ///
    /// # Errors
    /// [`Fault::Unknown`] with the lights there are.
    pub fn light(&self, word: &str) -> Result<&LightHead, Fault> {
        self.library.lights().iter().find(|l| l.light.eq_ignore_ascii_case(word)).ok_or_else(|| Fault::Unknown {
            what: "light",
            given: word.to_owned(),
            known: {
                let words: Vec<&str> = self.library.lights().iter().map(|l| l.light.as_str()).collect();
                format!("{}, or a file lamp.csv with columns wavelength_nm,power", words.join(", "))
            },
        })
    }

    /// The observer by its field of view.
    ///
    /// # Errors
    /// [`Fault::Unknown`] with the observers there are.
    pub fn observer(&self, word: &str) -> Result<&ObserverHead, Fault> {
        self.library.observers().iter().find(|o| o.observer == word).ok_or_else(|| Fault::Unknown {
            what: "observer",
            given: word.to_owned(),
            known: "2, 10 (degrees)".to_owned(),
        })
    }

    fn functions(&self, head: &ObserverHead) -> Result<[SpectralTable; 3], Fault> {
        let mut tables = Vec::with_capacity(3);
        for column in &head.table.columns {
            tables.push(spectral(&head.observer, &head.table.wavelength_nm, column)?);
        }
        <[SpectralTable; 3]>::try_from(tables).map_err(|_| unusable(&head.observer))
    }

    fn power(&self, light: &Light) -> Result<(String, SpectralTable), Fault> {
        match light {
            Light::Named(word) => {
                let head = self.light(word)?;
                let table = spectral(&head.light, &head.table.wavelength_nm, &head.table.columns[0])?;
                Ok((head.light.clone(), table))
            }
            Light::Own { name, wavelength_nm, power } => Ok((name.clone(), spectral(name, wavelength_nm, power)?)),
        }
    }
}

fn spectral(name: &str, wavelength_nm: &[f64], values: &[f64]) -> Result<SpectralTable, Fault> {
    SpectralTable::new(wavelength_nm.to_vec(), values.to_vec()).ok_or_else(|| unusable(name))
}

/// A lamp of one's own on `grid`, each value the mean over its step: a line between two points of the grid is not lost.
fn averaged(name: &str, power: &SpectralTable, grid: &[f64]) -> Result<SpectralTable, Fault> {
    const PARTS: u32 = 50;
    let step = if grid.len() > 1 { grid[1] - grid[0] } else { 1.0 };
    let mean = |w: f64| {
        let inside = (0..PARTS).map(|i| w + step * ((f64::from(i) + 0.5) / f64::from(PARTS) - 0.5));
        inside.map(|at| power.at(at)).sum::<f64>() / f64::from(PARTS)
    };
    spectral(name, grid, &grid.iter().map(|w| mean(*w)).collect::<Vec<f64>>())
}

fn unusable(name: &str) -> Fault {
    let message = format!("the table of '{name}' needs at least two points at rising wavelengths");
    Fault::Input(Problem::Table { message }.in_file(name))
}
