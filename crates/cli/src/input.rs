//! Arguments and files to what the façade takes.

use crate::arguments::{GeometryArg, ViewArgs};
use crate::outcome::Failure;
use huewright::{Conditions, Engine, Geometry, Light, Target, parse_target};
use library::{FinishFile, LoadsFile, PartFile, Problem, RecipeFile, WorkshopFile, read_light, read_spectrum};
use quantities::{limit, parse};
use std::io::Read;
use std::path::Path;

/// The bytes of a file that a person named.
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    disk(path)
        .map_err(|e| Failure::from(Problem::Unreadable { reason: e.to_string() }.in_file(&path.display().to_string())))
}

/// Reads no more than any honest input holds, so that a device without end is an error and not a wait.
fn disk(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    std::fs::File::open(path)?.take(LARGEST_FILE + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(std::io::Error::other(format!("it holds more than {} MB", LARGEST_FILE / 1_000_000)));
    }
    Ok(bytes)
}

const LARGEST_FILE: u64 = 64_000_000;

/// A finish file.
pub(crate) fn finish(engine: &Engine, path: &Path) -> Result<FinishFile, Failure> {
    Ok(FinishFile::read(&path.display().to_string(), &read(path)?, engine.library(), &disk)?)
}

/// A workshop file.
pub(crate) fn workshop(engine: &Engine, path: &Path) -> Result<WorkshopFile, Failure> {
    Ok(WorkshopFile::read(&path.display().to_string(), &read(path)?, engine.library(), &disk)?)
}

/// A part file.
pub(crate) fn part(engine: &Engine, path: &Path) -> Result<PartFile, Failure> {
    Ok(PartFile::read(&path.display().to_string(), &read(path)?, engine.library())?)
}

/// A recipe file, with the workshop and part that it names.
pub(crate) fn recipe(engine: &Engine, path: &Path) -> Result<RecipeFile, Failure> {
    Ok(RecipeFile::read(&path.display().to_string(), &read(path)?, engine.library(), &disk)?)
}

/// A log of loads, with the recipe that it names.
pub(crate) fn loads(engine: &Engine, path: &Path) -> Result<LoadsFile, Failure> {
    Ok(LoadsFile::read(&path.display().to_string(), &read(path)?, engine.library(), &disk)?)
}

/// A quantity of the row `key`, given as option `name`.
pub(crate) fn quantity(name: &'static str, text: &str, key: &str) -> Result<f64, Failure> {
    parse(text, limit(key)).map(|w| w.value).map_err(|error| Failure::Argument { name, error })
}

/// `FROM..TO`, each with or without a unit.
pub(crate) fn span(name: &'static str, text: &str, key: &str) -> Result<(f64, f64), Failure> {
    let Some((from, to)) = text.split_once("..").filter(|(_, to)| !to.starts_with('.')) else {
        return Err(Failure::Words(format!(
            "--{name} is '{text}', but must be a span such as 0..100 ({})",
            limit(key).unit
        )));
    };
    Ok((quantity(name, from, key)?, quantity(name, to, key)?))
}

/// Light, observer, tilt, geometry.
pub(crate) fn conditions(view: &ViewArgs) -> Result<Conditions, Failure> {
    let light = if is_file(&view.light) {
        let (wavelength_nm, power) = read_light(&view.light, &read(Path::new(&view.light))?)?;
        Light::Own { name: view.light.clone(), wavelength_nm, power }
    } else {
        Light::Named(view.light.clone())
    };
    Ok(Conditions {
        light,
        observer: view.observer.trim_end_matches("deg").trim().to_owned(),
        tilt_deg: quantity("tilt", &view.tilt, "tilt_deg")?,
        geometry: match view.geometry {
            GeometryArg::Included => Geometry::Included,
            GeometryArg::Excluded => Geometry::Excluded,
            GeometryArg::Specular => Geometry::Specular,
        },
    })
}

/// Whether a word names a CSV file rather than something of the library.
pub(crate) fn is_file(word: &str) -> bool {
    Path::new(word).extension().is_some_and(|e| e.eq_ignore_ascii_case("csv"))
}

/// A wanted colour: text, or a spectrum file.
pub(crate) fn target(engine: &Engine, colour: &str, conditions: &Conditions) -> Result<Target, Failure> {
    if is_file(colour) {
        let (wavelength_nm, reflectance) = read_spectrum(colour, &read(Path::new(colour))?)?;
        return Ok(Target::from_spectrum(engine, &wavelength_nm, &reflectance, conditions, colour)?);
    }
    Ok(parse_target(engine, colour, conditions)?)
}

/// Writes a file whole or not at all: beside it first, then renamed into place. A link is followed; what is no ordinary
/// file (a folder, a device, a pipe) and what may not be written is left alone.
pub(crate) fn write(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let fail = |error| Failure::Write { path: path.display().to_string(), error };
    let target = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let there = std::fs::metadata(&target).ok();
    if let Some(there) = &there {
        if !there.is_file() {
            return Err(fail(std::io::Error::other("it is no ordinary file")));
        }
        if there.permissions().readonly() {
            return Err(fail(std::io::Error::other("it is read-only")));
        }
    }
    let mut name = target.file_name().map(ToOwned::to_owned).unwrap_or_default();
    name.push(format!(".part-{}", std::process::id()));
    let part = target.with_file_name(name);
    let written = std::fs::write(&part, bytes)
        .and_then(|()| there.map_or(Ok(()), |t| std::fs::set_permissions(&part, t.permissions())))
        .and_then(|()| std::fs::rename(&part, &target));
    written.map_err(|error| {
        // What could not be renamed is not left lying about.
        let _ = std::fs::remove_file(&part);
        fail(error)
    })
}

/// What is written must not be what was read, nor twice the same.
pub(crate) fn apart(written: &[&Path], read: &[&Path]) -> Result<(), Failure> {
    let real = |p: &Path| std::fs::canonicalize(p).unwrap_or_else(|_| p.to_path_buf());
    for (i, out) in written.iter().enumerate() {
        let clash = read.iter().chain(&written[..i]).find(|other| real(other) == real(out));
        if clash.is_some() {
            return Err(Failure::Words(format!("{} would be overwritten; give another name", out.display())));
        }
    }
    Ok(())
}
