//! What the readers of mesh files share: units, limits, and what can be wrong with a file.

use crate::error::MeshError;
use crate::mesh::{FARTHEST_MM, MOST_TRIANGLES};
use crate::vector::Vec3;

/// The unit that a mesh file was drawn in. No file says; it is never guessed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// mm.
    Millimetre,
    /// cm.
    Centimetre,
    /// m.
    Metre,
    /// The inch of 25.4 mm, exactly.
    Inch,
}

impl Unit {
    /// All that there are.
    pub const ALL: [Self; 4] = [Self::Millimetre, Self::Centimetre, Self::Metre, Self::Inch];

    /// How many mm it is.
    pub fn mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Centimetre => 10.0,
            Self::Metre => 1000.0,
            Self::Inch => 25.4,
        }
    }

    /// Its sign.
    pub fn sign(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
            Self::Inch => "in",
        }
    }
}

/// Formats of mesh files.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// STL, binary or text: the reader sees which.
    Stl,
    /// OBJ.
    Obj,
}

/// How much is read, and how much is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// A larger file is refused.
    pub bytes: usize,
    /// A file of more triangles is refused; at most [`MOST_TRIANGLES`].
    pub triangles: u32,
    /// A mesh of more triangles is made coarser until it has no more than these; at least 100.
    pub keep: u32,
}

impl Default for Limits {
    /// 128 MiB, 2 million triangles (100 MB of binary STL), 200 000 kept: those of a ball of 100 mm then have sides of
    /// some 0.6 mm and lie within some 0.001 mm of it.
    fn default() -> Self {
        Self { bytes: 128 << 20, triangles: MOST_TRIANGLES, keep: 200_000 }
    }
}

/// How a file is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Its unit.
    pub unit: Unit,
    /// Limits.
    pub limits: Limits,
    /// Triangles that meet at more than this angle, degrees (0 to 180), meet at a sharp edge; below it the surface is
    /// taken as smooth.
    pub crease_deg: f64,
}

impl Reading {
    /// The usual limits, and sharp edges from 35 degrees on (common practice, no source).
    pub fn of(unit: Unit) -> Self {
        Self { unit, limits: Limits::default(), crease_deg: 35.0 }
    }
}

/// A mesh file that cannot be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadError {
    /// Nothing.
    #[error("the file is empty; give an STL or OBJ file with at least one triangle")]
    Empty,
    /// More bytes than are read.
    #[error(
        "the file holds {bytes} bytes; at most {most} are read: export the mesh with fewer triangles, or as binary STL"
    )]
    Bytes {
        /// How many it holds.
        bytes: usize,
        /// How many are read.
        most: usize,
    },
    /// More triangles than are read.
    #[error(
        "{place}: {triangles} triangles or more; at most {most} are read: export the mesh coarser, with a chord error \
         of 0.02 mm, say"
    )]
    Triangles {
        /// Where that became plain.
        place: Place,
        /// How many there are at least.
        triangles: u64,
        /// How many are read.
        most: u32,
    },
    /// A binary file cut short, or none at all.
    #[error(
        "the file is neither text STL nor whole binary STL: byte 80 says {triangles} triangles, which take {needed} \
         bytes, but it holds {bytes}; copy or export it again"
    )]
    Length {
        /// How many triangles the head promises.
        triangles: u32,
        /// How many bytes they take.
        needed: u64,
        /// How many there are.
        bytes: usize,
    },
    /// A file that is too short to be anything.
    #[error(
        "the file holds {bytes} bytes and does not begin with 'solid'; a binary STL file has at least 84: copy or \
         export it again"
    )]
    Stub {
        /// How many bytes.
        bytes: usize,
    },
    /// A line that is not what must be there.
    #[error("{place}: {given}; {wanted}")]
    Line {
        /// Where.
        place: Place,
        /// What is there, quoted and cut short.
        given: String,
        /// What must be there, and what to do.
        wanted: &'static str,
    },
    /// A coordinate out of all proportion.
    #[error(
        "{place}: a coordinate is {given} {}; it must be a finite number within {FARTHEST_MM} mm of 0: check the unit, \
         and export the mesh near the origin",
        unit.sign()
    )]
    Far {
        /// Where.
        place: Place,
        /// The coordinate, in the file's unit.
        given: f64,
        /// That unit.
        unit: Unit,
    },
    /// A face that names a vertex that is not there.
    #[error("{place}: a face names vertex {given}, but {}; export the mesh again", there_are(*given, *count))]
    Vertex {
        /// Where.
        place: Place,
        /// The number as it stands there.
        given: i64,
        /// How many vertices there are.
        count: usize,
    },
    /// A number of [`Reading`] that is out of its range.
    #[error("crease angle {given} degrees; it must be 0 to 180")]
    Crease {
        /// What was given.
        given: f64,
    },
    /// A file without triangles.
    #[error(
        "the file was read to its end and holds no triangle{hint}; export a mesh, not curves, points or exact surfaces"
    )]
    None {
        /// What there was instead, if it can be said.
        hint: String,
    },
    /// A mesh that cannot be made coarser without losing much of it.
    #[error(
        "{triangles} triangles, more than the {keep} that are kept, and too scattered to be made coarser: of \
         {before_mm2:.3e} mm2 only {after_mm2:.3e} would be left; export the mesh with at most {keep} triangles"
    )]
    Scattered {
        /// How many triangles there are.
        triangles: usize,
        /// How many are kept.
        keep: u32,
        /// Their area, mm2.
        before_mm2: f64,
        /// What would be left, mm2.
        after_mm2: f64,
    },
    /// Triangles that make no mesh.
    #[error(transparent)]
    Mesh(#[from] MeshError),
    /// Triangles without area.
    #[error(
        "all {triangles} triangles have no area: their corners fall together or on one line; check that the export is \
         not flattened or scaled to nothing"
    )]
    Flat {
        /// How many.
        triangles: usize,
    },
}

/// The vertices that a face could have named.
fn there_are(given: i64, count: usize) -> String {
    if given < 0 { format!("only {count} stand before it") } else { format!("the file's vertices are 1 to {count}") }
}

/// Where in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// A line, from 1.
    Line(usize),
    /// A byte, from 0, of a binary file.
    Byte(usize),
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Line(line) => write!(f, "line {line}"),
            Self::Byte(byte) => write!(f, "byte {byte}"),
        }
    }
}

/// What a file held: corners in mm and triangles that name them.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Soup {
    pub points_mm: Vec<Vec3>,
    pub triangles: Vec<[u32; 3]>,
}

/// A coordinate of a file in mm.
pub(crate) fn coordinate(given: f64, unit: Unit, place: Place) -> Result<f64, ReadError> {
    let mm = given * unit.mm();
    // -0 and 0 are one place.
    if mm.abs() <= FARTHEST_MM { Ok(mm + 0.0) } else { Err(ReadError::Far { place, given, unit }) }
}

/// The lines of a text file with their numbers, without white space at their ends.
pub(crate) fn lines(bytes: &[u8]) -> impl Iterator<Item = (usize, &[u8])> {
    let mut number = 0;
    // Old files end lines with CR alone; the LF of a CR LF ends none.
    let pieces = bytes.split_inclusive(|b| *b == b'\n' || *b == b'\r').scan(false, move |after_cr, piece| {
        let joined = *after_cr && piece == b"\n";
        *after_cr = piece.ends_with(b"\r");
        number += usize::from(!joined);
        Some((!joined).then(|| (number, piece.trim_ascii())))
    });
    pieces.flatten()
}

/// A text file without the mark that some programs put before it.
pub(crate) fn unmarked(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes)
}

/// A word of a file as a message may show it: quoted, printable, and not long.
pub(crate) fn quoted(word: &[u8]) -> String {
    const MOST: usize = 40;
    let text = String::from_utf8_lossy(&word[..word.len().min(4 * MOST)]);
    let short: String = text.chars().take(MOST).map(|c| if c.is_control() { '\u{fffd}' } else { c }).collect();
    let more = if text.chars().count() > MOST || word.len() > 4 * MOST { "..." } else { "" };
    format!("'{short}{more}'")
}

/// A finite or other number; `None` for what is none.
pub(crate) fn number(word: &[u8]) -> Option<f64> {
    std::str::from_utf8(word).ok()?.parse().ok()
}

/// Three numbers of a line that begin a list of words.
pub(crate) fn three<'w>(
    words: &mut impl Iterator<Item = &'w [u8]>,
    place: Place,
    unit: Unit,
    wanted: &'static str,
) -> Result<Vec3, ReadError> {
    let mut read = [0.0; 3];
    for value in &mut read {
        let Some(word) = words.next() else {
            return Err(ReadError::Line { place, given: "a number is missing".to_owned(), wanted });
        };
        let Some(given) = number(word) else {
            return Err(ReadError::Line { place, given: format!("{} is no number", quoted(word)), wanted });
        };
        *value = coordinate(given, unit, place)?;
    }
    Ok(read)
}

pub(crate) fn words(line: &[u8]) -> impl Iterator<Item = &[u8]> {
    line.split(u8::is_ascii_whitespace).filter(|w| !w.is_empty())
}

#[cfg(test)]
#[path = "reading_tests.rs"]
mod tests;
