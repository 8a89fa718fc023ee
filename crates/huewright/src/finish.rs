//! A finish as written, ready for the optics: the one path that `look`, searches and fits all take.

use crate::catalogue::Compiled;
use crate::engine::{COARSE_NM, Conditions, Engine, FINE_ABOVE_NM, FINE_NM, grid};
use crate::error::Fault;
use colour::{Lab, Viewing};
use library::{CoatSpec, FilmSpec, FinishFile, MaterialRef, MediumAbove};
use optics::{Coat, Cx, Dispersion, Film, Layer, OpticsError, Real, Sample, Texture, Turned, View, bruggeman};

/// What can be fitted in one film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmValues<T> {
    /// Mean thickness, nm.
    pub thickness_nm: T,
    /// Relative rms variation of thickness.
    pub spread: T,
    /// Void fraction.
    pub porosity: T,
    /// Slider of a family (unused for materials without one).
    pub composition: T,
    /// Factors on the n and k of its table: 1 unless the table itself is in doubt.
    pub index_factor: [T; 2],
}

/// What can be fitted in a finish.
#[derive(Debug, Clone, PartialEq)]
pub struct Values<T> {
    /// Films from the base outward.
    pub films: Vec<FilmValues<T>>,
    /// Factors on the n and k of the base's table.
    pub base_factor: [T; 2],
    /// Micro-roughness, nm rms.
    pub roughness_nm: T,
    /// Rms lean of facets, degrees.
    pub slope_deg: T,
}

/// A finish whose materials have been looked up.
#[derive(Debug, Clone)]
pub struct Built<'e> {
    medium: Dispersion,
    base: Material<'e>,
    /// Slider of a family that serves as base: its default.
    base_composition: f64,
    films: Vec<Material<'e>>,
    over: Vec<(Material<'e>, f64)>,
    values: Values<f64>,
}

/// A material looked up: from the catalogue, or the person's own.
#[derive(Debug, Clone)]
enum Material<'e> {
    Listed(&'e Compiled),
    Own(Dispersion),
}

impl Engine {
    /// Looks up every material of `finish`.
    ///
    /// # Errors
    /// [`Fault`] when a material or source is not known.
    pub fn build(&self, finish: &FinishFile) -> Result<Built<'_>, Fault> {
        let medium = match finish.medium {
            MediumAbove::Air => Dispersion::constant(1.0, 0.0),
            MediumAbove::Water => self.water()?,
        };
        let films = finish.films.iter().map(|f| self.material(&f.material, f.composition)).collect::<Result<_, _>>()?;
        let over = finish
            .over
            .iter()
            .map(|CoatSpec { material, thickness_um }| Ok((self.material(material, None)?, *thickness_um)))
            .collect::<Result<_, Fault>>()?;
        let texture = &finish.base.texture;
        Ok(Built {
            medium,
            base: self.material(&finish.base.material, None)?,
            base_composition: self.composition_of(&finish.base.material, None),
            films,
            over,
            values: Values {
                films: finish.films.iter().map(|f| self.film_values(f)).collect(),
                base_factor: [1.0, 1.0],
                roughness_nm: texture.roughness_nm,
                slope_deg: texture.slope_deg,
            },
        })
    }

    fn water(&self) -> Result<Dispersion, Fault> {
        let id = "water";
        match self.compiled(id, self.source_of(id, None, None)?) {
            Some(Compiled::One(d)) => Ok(d.clone()),
            _ => Err(Fault::Unknown { what: "material", given: id.to_owned(), known: "see materials".to_owned() }),
        }
    }

    /// The source that stands for `id`: the one named, the family's when a composition is given, else the default.
    pub(crate) fn source_of<'a>(
        &'a self,
        id: &str,
        named: Option<&'a str>,
        composition: Option<f64>,
    ) -> Result<&'a str, Fault> {
        let entry = self.library().entry(id).map_err(|p| Fault::Input(p.in_file(id)))?;
        Ok(match (named, composition, &entry.family) {
            (Some(source), _, _) => source,
            (None, Some(_), Some(family)) => &family.source,
            _ => &entry.default,
        })
    }

    fn material(&self, reference: &MaterialRef, composition: Option<f64>) -> Result<Material<'_>, Fault> {
        Ok(match reference {
            MaterialRef::Inline { n, k } => Material::Own(Dispersion::constant(*n, *k)),
            MaterialRef::Table { wavelength_nm, n, k, .. } => {
                Material::Own(Dispersion::Table { wavelength_nm: wavelength_nm.clone(), n: n.clone(), k: k.clone() })
            }
            MaterialRef::Library { id, source } => {
                let named = source.clone();
                let source = match &named {
                    Some(source) => source.as_str(),
                    None => self.source_of(id, None, composition)?,
                };
                Material::Listed(self.compiled(id, source).ok_or_else(|| Fault::Unknown {
                    what: "source",
                    given: source.to_owned(),
                    known: self.library().sources(id).iter().map(|h| h.source.as_str()).collect::<Vec<_>>().join(", "),
                })?)
            }
        })
    }

    fn film_values(&self, film: &FilmSpec) -> FilmValues<f64> {
        FilmValues {
            thickness_nm: film.thickness_nm,
            spread: film.spread,
            porosity: film.porosity,
            composition: self.composition_of(&film.material, film.composition),
            index_factor: [1.0, 1.0],
        }
    }

    /// The composition given, else the family's default, else the middle of its range; 0 where there is none.
    pub(crate) fn composition_of(&self, material: &MaterialRef, given: Option<f64>) -> f64 {
        if let Some(given) = given {
            return given;
        }
        let MaterialRef::Library { id, .. } = material else { return 0.0 };
        self.library()
            .entry(id)
            .ok()
            .and_then(|e| e.family.as_ref())
            .map_or(0.0, |family| family.default.unwrap_or(0.5 * (family.range[0] + family.range[1])))
    }
}

impl Material<'_> {
    /// One index for a base or a coat; of a film of two layers, the outer.
    fn single<T: Real>(&self, wavelength_nm: f64, composition: T) -> Cx<T> {
        match self {
            Self::Listed(Compiled::One(d)) | Self::Own(d) => d.index(wavelength_nm, composition),
            Self::Listed(Compiled::Two { outer, .. }) => outer.index(wavelength_nm, composition),
        }
    }

    fn layers<T: Real>(&self, wavelength_nm: &[f64], values: &FilmValues<T>) -> Vec<Layer<T>> {
        let porous = |index: Cx<T>| {
            let dense = values.porosity.value() <= 0.0 && values.porosity.is_constant();
            if dense { index } else { bruggeman(index, Cx::of(1.0, 0.0), values.porosity) }
        };
        let layer = |d: &Dispersion, share: T| Layer {
            share,
            index: wavelength_nm
                .iter()
                .map(|w| porous(scaled(d.index(*w, values.composition), values.index_factor)))
                .collect(),
        };
        match self {
            Self::Listed(Compiled::One(d)) | Self::Own(d) => vec![layer(d, T::of(1.0))],
            Self::Listed(Compiled::Two { inner, outer }) => {
                vec![layer(inner, T::of(1.0) - values.composition), layer(outer, values.composition)]
            }
        }
    }
}

fn scaled<T: Real>(index: Cx<T>, factor: [T; 2]) -> Cx<T> {
    Cx::new(index.re * factor[0], index.im * factor[1])
}

impl Built<'_> {
    /// The values as written in the finish.
    pub fn values(&self) -> &Values<f64> {
        &self.values
    }

    /// The finish on a grid of wavelengths, with `values` in place of those written: plain numbers, or numbers that
    /// carry derivatives.
    pub fn sample<T: Real>(&self, values: &Values<T>, wavelength_nm: &[f64]) -> Sample<T> {
        Sample {
            wavelength_nm: wavelength_nm.to_vec(),
            // The medium above is clear; what little water absorbs plays no part.
            ambient_n: wavelength_nm.iter().map(|w| self.medium.index(*w, 0.0).re).collect(),
            base: wavelength_nm
                .iter()
                .map(|w| scaled(self.base.single(*w, T::of(self.base_composition)), values.base_factor))
                .collect(),
            films: self
                .films
                .iter()
                .zip(&values.films)
                .map(|(material, v)| Film {
                    layers: material.layers(wavelength_nm, v),
                    thickness_nm: v.thickness_nm,
                    spread: v.spread,
                })
                .collect(),
            over: self
                .over
                .iter()
                .map(|(material, thickness_um)| Coat {
                    index: wavelength_nm.iter().map(|w| material.single(*w, 0.0)).collect(),
                    thickness_um: *thickness_um,
                })
                .collect(),
            texture: Texture { roughness_nm: values.roughness_nm, slope_deg: values.slope_deg },
        }
    }
}

/// The viewing on both grids; the fine one is made when it is first asked for.
pub struct Eye<'e> {
    engine: &'e Engine,
    conditions: Conditions,
    coarse: Viewing,
    fine: std::cell::OnceCell<Viewing>,
}

impl<'e> Eye<'e> {
    /// An eye under `conditions`.
    ///
    /// # Errors
    /// As [`Engine::viewing`].
    pub fn new(engine: &'e Engine, conditions: &Conditions) -> Result<Self, Fault> {
        Ok(Self {
            engine,
            coarse: engine.viewing_on(conditions, &grid(COARSE_NM))?,
            conditions: conditions.clone(),
            fine: std::cell::OnceCell::new(),
        })
    }

    /// The viewing on the usual grid.
    pub fn viewing(&self) -> &Viewing {
        &self.coarse
    }

    /// Tilt and geometry.
    pub fn view(&self) -> View {
        self.conditions.view()
    }

    /// Spectrum on the usual grid, and the viewing and spectrum that the colour is summed from: the same, or 1 nm where
    /// the summed n d of the films exceeds 4 um.
    ///
    /// # Errors
    /// [`OpticsError`] for tilt or roughness out of range.
    pub fn see(&self, built: &Built<'_>, values: &Values<f64>) -> Result<Seen, OpticsError> {
        let view = self.view();
        let sample = built.sample(values, self.coarse.wavelength_nm());
        let reflectance = sample.reflectance(view)?;
        if sample.optical_thickness_nm() <= FINE_ABOVE_NM {
            return Ok(self.coarsely(reflectance));
        }
        let fine_grid = grid(FINE_NM);
        let fine = self.fine.get_or_init(|| {
            // The same light and observer already made the coarse viewing, so this cannot fail.
            self.engine.viewing_on(&self.conditions, &fine_grid).unwrap_or_else(|_| self.coarse.clone())
        });
        let spectrum = built.sample(values, fine.wavelength_nm()).reflectance(view)?;
        Ok(Seen { reflectance, xyz: fine.xyz(&spectrum), lab: fine.lab(&spectrum), white: fine.white() })
    }

    fn coarsely(&self, reflectance: Vec<f64>) -> Seen {
        let (xyz, lab) = (self.coarse.xyz(&reflectance), self.coarse.lab(&reflectance));
        Seen { reflectance, xyz, lab, white: self.coarse.white() }
    }

    /// As [`Eye::see`], for many thicknesses of film number `which` (0 at the base): what does not depend on it is worked
    /// out once, where the optics can. Colours come in the order of `thickness_nm`.
    ///
    /// # Errors
    /// As [`Eye::see`].
    ///
    /// # Panics
    /// When `which` is not a film.
    pub fn see_turned(&self, built: &Built<'_>, which: usize, thickness_nm: &[f64]) -> Result<Vec<Seen>, OpticsError> {
        let mut sample = built.sample(built.values(), self.coarse.wavelength_nm());
        let fine = thickness_nm.iter().any(|nm| {
            sample.films[which].thickness_nm = *nm;
            sample.optical_thickness_nm() > FINE_ABOVE_NM
        });
        // A texture and a coarse grid: the closed form. What is fringed too finely for the grid takes the full path.
        if let Some(turned) = Turned::new(&sample, self.view(), which)?
            && !fine
        {
            return Ok(thickness_nm.iter().map(|nm| self.coarsely(turned.reflectance(*nm))).collect());
        }
        let mut values = built.values().clone();
        thickness_nm
            .iter()
            .map(|nm| {
                values.films[which].thickness_nm = *nm;
                self.see(built, &values)
            })
            .collect()
    }

    /// Lab alone.
    ///
    /// # Errors
    /// As [`Eye::see`].
    pub fn lab(&self, built: &Built<'_>, values: &Values<f64>) -> Result<Lab, OpticsError> {
        Ok(self.see(built, values)?.lab)
    }
}

/// What an eye sees of a finish.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// On the usual grid, 0..=1.
    pub reflectance: Vec<f64>,
    /// Tristimulus values.
    pub xyz: colour::Xyz,
    /// Lab.
    pub lab: Lab,
    /// The white they refer to.
    pub white: colour::Xyz,
}
