//! What is wrong with a mesh that was read, as values: what it is, where, what it does, what to do.

use crate::edges::Edges;
use crate::reading::{Soup, Unit};
use crate::vector::{Vec3, bounds, doubled, length, minus};
use crate::winding::{Turned, holes};

/// A part smaller than this at its longest, or larger than the next, mm, is asked about: a bell of 58 m.
pub const SMALLEST_MM: f64 = 3.0;
/// See [`SMALLEST_MM`].
pub const LARGEST_MM: f64 = 2000.0;

/// Something that is wrong with a mesh, or may be. None of it stops the mesh from being used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeshFault {
    /// Edges with a triangle on one side alone.
    Open {
        /// Holes: open edges that hang together.
        holes: u32,
        /// Open edges.
        edges: u32,
        /// Their length, mm.
        length_mm: f64,
        /// Length around the longest hole, mm.
        longest_mm: f64,
        /// The middle of that, mm.
        at_mm: [f64; 3],
    },
    /// Triangles that stood there before, facing the same way; they were left out.
    Double {
        /// How many.
        triangles: u32,
    },
    /// Edges of more than two triangles, as where two bodies touch, or both sides of a sheet lie at one place.
    Crowded {
        /// How many.
        edges: u32,
        /// An end of one of them, mm.
        at_mm: [f64; 3],
    },
    /// Triangles that faced against their neighbours; they were turned.
    Flipped {
        /// How many.
        triangles: u32,
        /// Of how many.
        of: u32,
    },
    /// Edges at which the sides cannot agree, as on a strip that was twisted once and closed.
    Twisted {
        /// How many.
        edges: u32,
        /// An end of one of them, mm.
        at_mm: [f64; 3],
    },
    /// Pieces with their inside outside; they were turned.
    InsideOut {
        /// How many.
        pieces: u32,
        /// Of how many.
        of: u32,
    },
    /// Triangles without area.
    NoArea {
        /// Two corners were one; they were left out.
        collapsed: u32,
        /// All corners on one line; they were kept, since others hang on them.
        slivers: u32,
    },
    /// Several surfaces that do not hang together.
    Shells {
        /// How many.
        count: u32,
        /// Share of the area that the largest has, 0 to 1.
        largest: f64,
    },
    /// A size that few parts have: the unit may be another.
    Size {
        /// The longest side of the box, mm.
        longest_mm: f64,
        /// The unit it was read in.
        unit: Unit,
    },
}

impl MeshFault {
    /// Whether the mesh that was made is without it.
    pub fn mended(&self) -> bool {
        match self {
            Self::Flipped { .. } | Self::InsideOut { .. } | Self::Double { .. } => true,
            Self::NoArea { slivers, .. } => *slivers == 0,
            Self::Open { .. }
            | Self::Crowded { .. }
            | Self::Twisted { .. }
            | Self::Shells { .. }
            | Self::Size { .. } => false,
        }
    }
}

/// A length with three or more digits.
struct Mm(f64);

impl std::fmt::Display for Mm {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self(mm) = self;
        match mm.abs() {
            x if x >= 9999.5 => write!(f, "{:.0} m", mm / 1000.0),
            x if x >= 99.95 => write!(f, "{mm:.0} mm"),
            x if x >= 9.995 => write!(f, "{mm:.1} mm"),
            x if x >= 0.01 => write!(f, "{mm:.2} mm"),
            x if x > 0.0 => write!(f, "{mm:.1e} mm"),
            _ => write!(f, "0 mm"),
        }
    }
}

fn place([x, y, z]: [f64; 3]) -> String {
    format!("({}, {}, {})", Mm(x), Mm(y), Mm(z))
}

/// `count` things, in the singular where it is one.
fn counted(count: u32, one: &str, many: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
}

impl std::fmt::Display for MeshFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Open { holes, edges, length_mm, longest_mm, at_mm } => {
                let (holes, edges) = (counted(*holes, "hole", "holes"), counted(*edges, "open edge", "open edges"));
                let (all, longest, at) = (Mm(*length_mm), Mm(*longest_mm), place(*at_mm));
                write!(
                    f,
                    "the surface is not closed: {holes}, {edges}, {all} in all, the longest hole {longest} around, about \
                     {at}; its volume means nothing, and of a sheet without thickness one side alone counts: close it \
                     where it was drawn, unless the part is meant to be a sheet"
                )
            }
            Self::Crowded { edges, at_mm } => {
                let (edges, at) = (counted(*edges, "edge has", "edges have"), place(*at_mm));
                write!(
                    f,
                    "{edges} more than two faces, one of them at {at}: bodies that touch, walls within a body, or both \
                     sides of a sheet at one place; such edges are taken as sharp, and walls within count: join the \
                     bodies where they were drawn"
                )
            }
            Self::Double { triangles } => {
                let triangles = counted(*triangles, "triangle was", "triangles were");
                write!(f, "{triangles} there more than once and left out, so that no area counts twice")
            }
            Self::Flipped { triangles, of } => {
                let triangles = counted(*triangles, "triangle", "triangles");
                write!(
                    f,
                    "{triangles} of {of} faced against their neighbours and were turned; look whether a side is missing"
                )
            }
            Self::Twisted { edges, at_mm } => {
                let (edges, at) = (counted(*edges, "edge", "edges"), place(*at_mm));
                write!(
                    f,
                    "at {edges}, one of them at {at}, the sides of the surface cannot agree, as on a band that is twisted \
                     once: it has no outside; give it a thickness where it was drawn"
                )
            }
            Self::InsideOut { pieces, of } => {
                let (pieces, was) = (counted(*pieces, "piece", "pieces"), if *pieces == 1 { "was" } else { "were" });
                write!(
                    f,
                    "{pieces} of {of} {was} inside out and {was} turned; look whether what is seen is the outside"
                )
            }
            Self::NoArea { collapsed, slivers } => {
                let all = counted(collapsed + slivers, "triangle has", "triangles have");
                write!(
                    f,
                    "{all} no area: {collapsed} were left out, {slivers} kept because others hang on them; they change no \
                     area and no colour"
                )
            }
            Self::Shells { count, largest } => write!(
                f,
                "{count} surfaces do not hang together, the largest with {:.0} % of the area; all are taken as parts of \
                 one piece: leave out in the drawing what is not coloured",
                100.0 * largest
            ),
            Self::Size { longest_mm, unit } => {
                let size = if *longest_mm > LARGEST_MM { "large" } else { "small" };
                write!(f, "the part is {} long, read in {}: {size} for a part; ", Mm(*longest_mm), unit.sign())?;
                for (i, other) in Unit::ALL.into_iter().filter(|u| u != unit).enumerate() {
                    let mm = longest_mm / unit.mm() * other.mm();
                    write!(f, "{}in {} it would be {}", if i == 0 { "" } else { ", " }, other.sign(), Mm(mm))?;
                }
                write!(f, ". Say the unit it was drawn in")
            }
        }
    }
}

/// Triangles that are there more than once, facing the same way, are taken out but for the first; how many.
pub(crate) fn doubles(soup: &mut Soup) -> u32 {
    // From the lowest corner on, the winding kept.
    let key = |[a, b, c]: [u32; 3]| {
        if a <= b && a <= c {
            [a, b, c]
        } else if b <= c {
            [b, c, a]
        } else {
            [c, a, b]
        }
    };
    let mut order: Vec<([u32; 3], u32)> = soup.triangles.iter().zip(0..).map(|(named, t)| (key(*named), t)).collect();
    order.sort_unstable();
    let mut keep = vec![true; order.len()];
    for same in order.chunk_by(|a, b| a.0 == b.0) {
        same[1..].iter().for_each(|(_, t)| keep[*t as usize] = false);
    }
    let before = soup.triangles.len();
    let mut kept = keep.into_iter();
    soup.triangles.retain(|_| kept.next().unwrap_or(true));
    (before - soup.triangles.len()) as u32
}

/// Triangles that two merged corners left without area are taken out; how many, and how many have all corners on one
/// line.
pub(crate) fn areas(soup: &mut Soup, near_mm: f64) -> (u32, u32) {
    let before = soup.triangles.len();
    soup.triangles.retain(|[a, b, c]| a != b && b != c && c != a);
    let flat = |named: &&[u32; 3]| {
        let corners = named.map(|c| soup.points_mm[c as usize]);
        let [a, b, c] = corners;
        let longest = length(minus(b, a)).max(length(minus(c, b))).max(length(minus(a, c)));
        // Twice the area is the longest side times the height over it.
        length(doubled(corners)) <= longest * near_mm
    };
    ((before - soup.triangles.len()) as u32, soup.triangles.iter().filter(flat).count() as u32)
}

/// Holes and crowded edges.
pub(crate) fn edges(soup: &Soup, found: &mut Vec<MeshFault>) {
    let edges = Edges::of(&soup.triangles);
    let holes = holes(&edges, &soup.points_mm);
    if let Some(longest) = holes.iter().max_by(|a, b| a.length_mm.total_cmp(&b.length_mm)) {
        found.push(MeshFault::Open {
            holes: holes.len() as u32,
            edges: holes.iter().map(|h| h.edges.len() as u32).sum(),
            length_mm: holes.iter().map(|h| h.length_mm).sum(),
            longest_mm: longest.length_mm,
            at_mm: longest.middle,
        });
    }
    let mut crowded = edges.shared().filter(|shared| shared.len() > 2).peekable();
    if let Some(first) = crowded.peek().and_then(|shared| shared.first()) {
        let at_mm = soup.points_mm[first.ends[0] as usize];
        found.push(MeshFault::Crowded { edges: crowded.count() as u32, at_mm });
    }
}

/// What turning triangles found.
pub(crate) fn windings(turned: Turned, triangles: usize, found: &mut Vec<MeshFault>) {
    if turned.flipped > 0 {
        found.push(MeshFault::Flipped { triangles: turned.flipped, of: triangles as u32 });
    }
    if let Some((edges, at_mm)) = turned.twisted {
        found.push(MeshFault::Twisted { edges, at_mm });
    }
    if turned.inside_out > 0 {
        found.push(MeshFault::InsideOut { pieces: turned.inside_out, of: turned.pieces });
    }
}

/// Several shells, and a strange size.
pub(crate) fn shells_and_size(soup: &Soup, unit: Unit, found: &mut Vec<MeshFault>) {
    let mut sets = crate::edges::Sets::of(soup.triangles.len());
    for shared in Edges::of(&soup.triangles).shared() {
        shared.windows(2).for_each(|two| sets.unite(two[0].triangle, two[1].triangle));
    }
    let (shell, count) = sets.numbered();
    if count > 1 {
        let mut areas = vec![0.0; count];
        for (named, shell) in soup.triangles.iter().zip(shell) {
            areas[shell as usize] += length(doubled(named.map(|c| soup.points_mm[c as usize])));
        }
        let (most, all) = (areas.iter().copied().fold(0.0, f64::max), areas.iter().sum::<f64>());
        found.push(MeshFault::Shells { count: count as u32, largest: if all > 0.0 { most / all } else { 1.0 } });
    }
    let longest_mm = longest_mm(soup.triangles.iter().flatten().map(|c| soup.points_mm[*c as usize]));
    if !(SMALLEST_MM..=LARGEST_MM).contains(&longest_mm) {
        found.push(MeshFault::Size { longest_mm, unit });
    }
}

fn longest_mm(points: impl Iterator<Item = Vec3>) -> f64 {
    let [low, high] = bounds(points).unwrap_or([[0.0; 3]; 2]);
    minus(high, low).into_iter().fold(0.0, f64::max)
}
