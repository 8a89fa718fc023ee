//! A finish as a person writes it.

use crate::csv_table::{IndexTable, read_index};
use crate::embedded::Library;
use crate::fault::{InputError, Problem};
use crate::fields::{Document, Fields, TextOrTable, text_of};
use crate::texture::{TextureSpec, read_texture};
use crate::{Class, Optical, Reader, Role};
use std::path::{Path, PathBuf};

/// More films than any recipe makes; the recursion would take them, the person did not mean them.
const MAX_FILMS: usize = 1_000;
const MAX_COATS: usize = 50;
/// Beyond it a coat is no longer clear, and its faces reflect otherwise than the sums without interference take them to.
const CLEAR_K: f64 = 0.01;

/// What the viewer looks through.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MediumAbove {
    /// Dry.
    Air,
    /// Wet, or held under water.
    Water,
}

/// A material: from the library, inline, or a table of one's own.
#[derive(Debug, Clone, PartialEq)]
pub enum MaterialRef {
    /// A library id, and which published source of it (`None`: the default).
    Library {
        /// The id.
        id: String,
        /// The source.
        source: Option<String>,
    },
    /// One n and k for all wavelengths.
    Inline {
        /// Refractive index.
        n: f64,
        /// Extinction coefficient.
        k: f64,
    },
    /// A table of one's own.
    Table {
        /// The file, with the folder of the file that named it.
        file: String,
        /// Rising, nm.
        wavelength_nm: Vec<f64>,
        /// Refractive index.
        n: Vec<f64>,
        /// Extinction coefficient.
        k: Vec<f64>,
    },
}

/// The base.
#[derive(Debug, Clone, PartialEq)]
pub struct BaseSpec {
    /// Of what.
    pub material: MaterialRef,
    /// Its surface.
    pub texture: TextureSpec,
}

/// One film.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmSpec {
    /// Of what.
    pub material: MaterialRef,
    /// Mean thickness, nm.
    pub thickness_nm: f64,
    /// Doubt about it, one standard deviation, nm; 0: as good as exact.
    pub thickness_sd_nm: f64,
    /// Relative rms variation in the viewed patch.
    pub spread: f64,
    /// Void fraction.
    pub porosity: f64,
    /// Slider of a family.
    pub composition: Option<f64>,
}

/// One clear coat.
#[derive(Debug, Clone, PartialEq)]
pub struct CoatSpec {
    /// Of what.
    pub material: MaterialRef,
    /// Thickness, um.
    pub thickness_um: f64,
}

/// A finish.
#[derive(Debug, Clone, PartialEq)]
pub struct FinishFile {
    /// What the person calls it.
    pub name: Option<String>,
    /// What lies above.
    pub medium: MediumAbove,
    /// Base.
    pub base: BaseSpec,
    /// Films from the base outward.
    pub films: Vec<FilmSpec>,
    /// Clear coats outward.
    pub over: Vec<CoatSpec>,
}

/// What reading needs beside the text: the library, the disk, and the folder of the file.
pub(crate) struct Context<'c> {
    pub(crate) library: &'c Library,
    pub(crate) reader: Reader<'c>,
    pub(crate) folder: PathBuf,
}

impl FinishFile {
    /// Reads a finish from the bytes of `file`. Tables that it names are fetched with `reader`, from the file's folder.
    ///
    /// # Errors
    /// [`InputError`] with file, line, field, what was given and what is allowed.
    pub fn read(file: &str, bytes: &[u8], library: &Library, reader: Reader<'_>) -> Result<Self, InputError> {
        let text = text_of(file, bytes, "TOML")?;
        let document = Document::parse(file, text)?;
        let f = document.fields();
        let folder = Path::new(file).parent().map(Path::to_path_buf).unwrap_or_default();
        let context = Context { library, reader, folder };
        Self::read_fields(f, &context)
    }

    /// The keys of a finish, in a file of its own or in a table of a recipe.
    pub(crate) fn read_fields(f: Fields<'_>, context: &Context<'_>) -> Result<Self, InputError> {
        let name = f.text("name")?.map(ToOwned::to_owned);
        let medium = read_medium(&f)?;
        let base = read_base(f.need_table("base")?, context)?;
        let films = read_films(&f, "film", context)?;
        let over = read_coats(&f, context)?;
        f.finish()?;
        Ok(Self { name, medium, base, films, over })
    }
}

fn read_medium(f: &Fields<'_>) -> Result<MediumAbove, InputError> {
    match f.text("medium")? {
        None | Some("air") => Ok(MediumAbove::Air),
        Some("water") => Ok(MediumAbove::Water),
        Some(other) => Err(f.fault(
            "medium",
            Problem::WrongKind { given: format!("\"{other}\""), wanted: "\"air\" or \"water\"".to_owned() },
        )),
    }
}

fn read_base(f: Fields<'_>, context: &Context<'_>) -> Result<BaseSpec, InputError> {
    let base = BaseSpec { material: read_material(&f, context)?, texture: read_texture(&f, context.library)? };
    if let MaterialRef::Library { id, source } = &base.material
        && let Ok(entry) = context.library.entry(id)
        && let Ok(head) = context.library.head(id, source.as_deref().unwrap_or(&entry.default))
        && matches!(head.optical, Optical::Stack { .. })
    {
        let message = format!("'{id}' is a film of two layers and cannot be a base; name its outer material");
        return Err(f.fault("material", Problem::Conflict { message }));
    }
    f.finish()?;
    Ok(base)
}

/// Films in the table of arrays `key`.
pub(crate) fn read_films(f: &Fields<'_>, key: &str, context: &Context<'_>) -> Result<Vec<FilmSpec>, InputError> {
    let mut films = Vec::new();
    for film in f.tables(key, "films", MAX_FILMS)? {
        let material = read_material(&film, context)?;
        let composition = film.quantity("composition")?;
        check_composition(&film, &material, composition, context)?;
        films.push(FilmSpec {
            material,
            thickness_nm: film.need_quantity("thickness_nm", "thickness_nm")?,
            thickness_sd_nm: film.quantity("thickness_sd_nm")?.unwrap_or(0.0),
            spread: film.quantity("spread")?.unwrap_or(0.0),
            porosity: film.quantity("porosity")?.unwrap_or(0.0),
            composition,
        });
        film.finish()?;
    }
    Ok(films)
}

fn check_composition(
    f: &Fields<'_>,
    material: &MaterialRef,
    composition: Option<f64>,
    context: &Context<'_>,
) -> Result<(), InputError> {
    let Some(given) = composition else { return Ok(()) };
    let MaterialRef::Library { id, source } = material else {
        let message = "composition belongs to the library's families; an own table or inline n, k has none".to_owned();
        return Err(f.fault("composition", Problem::Conflict { message }));
    };
    context
        .library
        .family_for(id, source.as_deref(), given)
        .map(|_| ())
        .map_err(|problem| f.fault("composition", problem))
}

fn read_coats(f: &Fields<'_>, context: &Context<'_>) -> Result<Vec<CoatSpec>, InputError> {
    let mut coats = Vec::new();
    for coat in f.tables("over", "clear coats", MAX_COATS)? {
        let thickness_um = match (coat.quantity("thickness_um")?, coat.quantity("thickness_nm")?) {
            (Some(um), None) => um,
            (None, Some(nm)) => nm * 1e-3,
            (None, None) => return Err(coat.missing("thickness_um", "thickness_um = 20")),
            (Some(_), Some(_)) => {
                let message = "thickness_um and thickness_nm say the same thing twice; keep one of them".to_owned();
                return Err(coat.fault("thickness_nm", Problem::Conflict { message }));
            }
        };
        let material = read_material(&coat, context)?;
        if let MaterialRef::Library { id, .. } = &material
            && let Ok(entry) = context.library.entry(id)
            && entry.class != Class::Clear
        {
            let message = format!("'{id}' is no clear coat; known: lacquer, skin-oil, water, or {{ n = 1.5 }}");
            return Err(coat.fault("material", Problem::Conflict { message }));
        }
        let darkest = match &material {
            MaterialRef::Inline { k, .. } => *k,
            MaterialRef::Table { k, .. } => k.iter().copied().fold(0.0, f64::max),
            MaterialRef::Library { .. } => 0.0,
        };
        if darkest > CLEAR_K {
            let message = format!("a clear coat has k up to {CLEAR_K}, this one has {darkest}; put it under [[film]]");
            return Err(coat.fault("material", Problem::Conflict { message }));
        }
        coats.push(CoatSpec { material, thickness_um });
        coat.finish()?;
    }
    Ok(coats)
}

/// `material = "id"` with an optional `source`, `material = { n, k }`, or `material = { table = "file.csv" }`.
pub(crate) fn read_material(f: &Fields<'_>, context: &Context<'_>) -> Result<MaterialRef, InputError> {
    let source = f.text("source")?;
    match f.text_or_table("material")?.ok_or_else(|| f.missing("material", "material = \"titanium\""))? {
        TextOrTable::Text(id) => {
            context.library.entry(id).map_err(|problem| f.fault("material", problem))?;
            if let Some(source) = source {
                context.library.head(id, source).map_err(|problem| f.fault("source", problem))?;
            }
            Ok(MaterialRef::Library { id: id.to_owned(), source: source.map(ToOwned::to_owned) })
        }
        TextOrTable::Table(own) => {
            if source.is_some() {
                let message =
                    "source names a published table of a library id; an own table or inline n, k has none".to_owned();
                return Err(f.fault("source", Problem::Conflict { message }));
            }
            let material = read_own_material(&own, context)?;
            own.finish()?;
            Ok(material)
        }
    }
}

fn read_own_material(own: &Fields<'_>, context: &Context<'_>) -> Result<MaterialRef, InputError> {
    if let Some(name) = own.text("table")? {
        let path = context.folder.join(name);
        let bytes = (context.reader)(&path)
            .map_err(|e| own.fault("table", Problem::Unreadable { reason: format!("'{name}': {e}") }))?;
        let IndexTable { wavelength_nm, n, k } = read_index(&path.display().to_string(), &bytes)?;
        // With its folder: a recipe that names the table again may lie elsewhere.
        return Ok(MaterialRef::Table { file: path.display().to_string(), wavelength_nm, n, k });
    }
    Ok(MaterialRef::Inline { n: own.need_quantity("n", "n")?, k: own.quantity("k")?.unwrap_or(0.0) })
}

impl Library {
    /// Whether the register lists `id` for `role`.
    pub fn serves_as(&self, id: &str, role: Role) -> bool {
        self.entry(id).is_ok_and(|e| e.roles.contains(&role))
    }
}
