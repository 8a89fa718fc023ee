//! The data that ship with Huewright, and the files that people write: read, checked, given out as plain values.
//!
//! - [`Library`]: materials with their sources, observers, lights, growth and oxidation constants, names, cautions;
//! - [`FinishFile`], [`WorkshopFile`], [`PartFile`], [`RecipeFile`], [`LoadsFile`]: what a person writes in TOML, quantities with units, unknown keys refused;
//! - [`read_spectrum`], [`read_light`]: CSV whose column names carry the unit;
//! - [`InputError`]: one clear error for bad input: file, line, field, what was given, what is allowed.
//!
//! Data are files under `data/`, carried inside the program; a new material, metal, light or caution is a file and no
//! code. What it is not: it knows no formula. It reads the disk only through the [`Reader`] it is handed.

mod bench;
mod cause;
mod caution;
mod chamber;
mod csv_table;
mod dose;
mod electrolyte;
mod embedded;
mod fault;
mod fields;
mod finish_file;
mod gas_reading;
mod gauge;
mod growth;
mod loads_file;
mod material;
mod names;
mod oxidation;
mod part_file;
mod part_shape;
mod preparation;
mod recipe_anodise;
mod recipe_file;
mod recipe_lay;
mod recipe_step;
mod register;
mod softening;
mod spectra;
mod supply;
mod texture;
mod wanted;
mod workshop_file;

pub use bench::Bench;
pub use cause::{Cause, Why};
pub use caution::{Caution, Circumstance};
pub use chamber::{LoadSpec, TargetSpec};
pub use csv_table::{read_light, read_spectrum};
pub use dose::Dose;
pub use electrolyte::{Conductivity, Electrolyte};
pub use embedded::{Doubt, Library};
pub use fault::{InputError, Place, Problem, nearest};
pub use finish_file::{BaseSpec, CoatSpec, FilmSpec, FinishFile, MaterialRef, MediumAbove};
pub use gas_reading::{Gas, GasColour, GasSpec};
pub use gauge::{Form, GaugeTable, Gauged, Meaning};
pub use growth::{Charge, Field, GrowthLaw, GrowthTable};
pub use loads_file::{LOAD_SETTINGS, LoadRow, LoadsFile, Witness};
pub use material::{Head, Number, Optical, Part, Terms};
pub use names::NameRow;
pub use oxidation::{Anchor, OxidationLaw, OxidationTable};
pub use part_file::{Extent, PartFile, Stock, Use};
pub use part_shape::{Measured, ShapeSpec};
pub use preparation::{Means, Preparation};
pub use recipe_anodise::{AnodiseAim, AnodiseSpec, AnodiseStop, BrushSpec, FadeSpec};
pub use recipe_file::{AreaSpec, Foretold, RecipeFile};
pub use recipe_lay::{LaySpec, ThroughAim, ThroughStop};
pub use recipe_step::{HeatSpec, HeatStop, StepSpec, StepWhat};
pub use register::{Class, Entry, Family, Role, Shown};
pub use softening::Softening;
pub use spectra::{LightHead, NamedTable, ObserverHead};
pub use supply::{Anodiser, Meter, Ripple, SupplyKind};
pub use texture::TextureSpec;
pub use wanted::{AxisLimits, WantedSpec};
pub use workshop_file::{Bath, Coater, CoaterFilm, CoaterKind, Metal, Oven, WorkshopFile};

/// How a file beside the one being read is fetched: given a path, its bytes.
pub type Reader<'r> = &'r dyn Fn(&std::path::Path) -> std::io::Result<Vec<u8>>;
