//! A mesh with too many triangles made coarser.

use crate::reading::{ReadError, Soup};
use crate::vector::{Vec3, bounds, dot, doubled, length, minus, plus, times, unit};

/// What making a mesh coarser did to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coarser {
    /// Triangles before.
    pub before: u32,
    /// Triangles after.
    pub after: u32,
    /// No corner was moved further, mm; the surface is nowhere further from where it was, but for what is lost.
    pub moved_mm: f64,
    /// Area before, mm2.
    pub before_mm2: f64,
    /// Area after, mm2.
    pub after_mm2: f64,
    /// Share of the corners that were on parts too thin to be kept, 0 to 1; those are gone.
    pub lost: f64,
}

impl std::fmt::Display for Coarser {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { before, after, moved_mm, before_mm2, after_mm2, lost } = self;
        let change = 100.0 * (after_mm2 / before_mm2 - 1.0);
        write!(
            f,
            "{before} triangles were made {after}: no corner moved by more than {moved_mm:.2e} mm, and the area "
        )?;
        write!(f, "changed by {change:.2} %")?;
        if *lost > 0.0 {
            write!(f, "; {:.2} % of the corners, on thinner parts than that, are gone", 100.0 * lost)?;
        }
        write!(f, "; export the mesh with at most {after} triangles to choose yourself what is left out")
    }
}

/// Less area than this share of what was there: the mesh is not coarser but gone.
const LEAST_AREA: f64 = 0.5;
/// A corner on a sharp edge.
const SHARP: u8 = 6;
/// A corner is on a sharp edge if a triangle strays from the mean of those around by more than 25 degrees.
const STRAYS: f64 = 0.906;
/// No cell is smaller than this share of the mesh's size.
const SMALLEST: f64 = 1e-6;

/// Makes a mesh of merged corners coarser until it has at most `keep` triangles.
///
/// Corners in one cell of a grid that look to the same side (of six) become the one nearest to their mean (after J. R.
/// Rossignac and P. Borrel, Modeling in Computer Graphics 1993, 455; from memory). The sides keep both faces of thin
/// metal apart; corners on sharp edges keep to themselves, so that rims stay smooth. The cell is the smallest that
/// does, to 10 %.
pub(crate) fn coarsen(soup: &Soup, keep: u32) -> Result<(Soup, Coarser), ReadError> {
    let before_mm2 = area(soup);
    let looks = looks(soup);
    let keep = keep.max(100);
    let size = bounds(soup.points_mm.iter().copied()).map_or(0.0, |[low, high]| length(minus(high, low)));
    let fit = |cell: f64| kept(soup, &cluster(soup, &looks, cell).0).len() <= keep as usize;
    // Two triangles for each corner, one corner for each cell. One cell for all leaves six corners: that always fits.
    let mut fits = (2.0 * before_mm2 / f64::from(keep)).sqrt().clamp(SMALLEST * size, size);
    let mut least = 0.0;
    while !fit(fits) {
        least = fits;
        fits *= 1.5;
    }
    if least <= 0.0 {
        // The first guess fits: a smaller one that does not is looked for.
        least = fits / 1.5;
        while least > SMALLEST * size && fit(least) {
            fits = least;
            least /= 1.5;
        }
    }
    while fits > 1.1 * least {
        let between = (fits * least).sqrt();
        if fit(between) { fits = between } else { least = between }
    }
    let (name, stands) = cluster(soup, &looks, fits);
    let moved = |c: usize| length(minus(soup.points_mm[c], soup.points_mm[stands[name[c] as usize] as usize]));
    let moved_mm = (0..soup.points_mm.len()).map(moved).fold(0.0, f64::max);
    let mut triangles = kept(soup, &name);
    let mut used = vec![false; stands.len()];
    triangles.iter().flatten().for_each(|c| used[*c as usize] = true);
    let gone = name.iter().filter(|n| !used[**n as usize]).count();
    // Names without the unused ones.
    let mut points_mm = Vec::new();
    let mut names = vec![0_u32; stands.len()];
    for (cluster, used) in used.iter().enumerate() {
        if *used {
            names[cluster] = points_mm.len() as u32;
            points_mm.push(soup.points_mm[stands[cluster] as usize]);
        }
    }
    triangles.iter_mut().flatten().for_each(|c| *c = names[*c as usize]);
    let coarse = Soup { points_mm, triangles };
    let after_mm2 = area(&coarse);
    let before = soup.triangles.len();
    if after_mm2 < LEAST_AREA * before_mm2 || coarse.triangles.is_empty() {
        return Err(ReadError::Scattered { triangles: before, keep, before_mm2, after_mm2 });
    }
    let (after, lost) = (coarse.triangles.len() as u32, gone as f64 / name.len() as f64);
    Ok((coarse, Coarser { before: before as u32, after, moved_mm, before_mm2, after_mm2, lost }))
}

/// Triangles that keep three corners, each once.
fn kept(soup: &Soup, name: &[u32]) -> Vec<[u32; 3]> {
    let renamed = soup.triangles.iter().map(|named| named.map(|c| name[c as usize]));
    let mut triangles: Vec<[u32; 3]> = renamed
        .filter(|[a, b, c]| a != b && b != c && c != a)
        .map(|[a, b, c]| {
            if a < b && a < c {
                [a, b, c]
            } else if b < a && b < c {
                [b, c, a]
            } else {
                [c, a, b]
            }
        })
        .collect();
    triangles.sort_unstable();
    triangles.dedup();
    triangles
}

fn area(soup: &Soup) -> f64 {
    soup.triangles.iter().map(|named| 0.5 * length(doubled(named.map(|c| soup.points_mm[c as usize])))).sum()
}

/// To which side of six each corner looks: the axis that its normal follows most, and which way; or [`SHARP`].
fn looks(soup: &Soup) -> Vec<u8> {
    let face = |named: &[u32; 3]| doubled(named.map(|c| soup.points_mm[c as usize]));
    let mut normals = vec![[0.0; 3]; soup.points_mm.len()];
    for named in &soup.triangles {
        let face = face(named);
        named.iter().for_each(|c| normals[*c as usize] = plus(normals[*c as usize], face));
    }
    let normals: Vec<Option<Vec3>> = normals.into_iter().map(unit).collect();
    let mut looks: Vec<u8> = normals.iter().map(|n| n.map_or(SHARP, side)).collect();
    for named in &soup.triangles {
        let Some(face) = unit(face(named)) else { continue };
        for corner in named {
            if normals[*corner as usize].is_some_and(|n| dot(n, face) < STRAYS) {
                looks[*corner as usize] = SHARP;
            }
        }
    }
    looks
}

fn side(normal: Vec3) -> u8 {
    let size = normal.map(f64::abs);
    let axis = if size[0] >= size[1] && size[0] >= size[2] {
        0
    } else if size[1] >= size[2] {
        1
    } else {
        2
    };
    2 * axis as u8 + u8::from(normal[axis] < 0.0)
}

/// For each corner the number of its cluster, and for each cluster the corner that stands for it.
fn cluster(soup: &Soup, looks: &[u8], cell: f64) -> (Vec<u32>, Vec<u32>) {
    let low = bounds(soup.points_mm.iter().copied()).map_or([0.0; 3], |[low, _]| low);
    let mut keys: Vec<([i64; 3], u8, u32)> = soup
        .points_mm
        .iter()
        .zip(looks)
        .enumerate()
        .map(|(c, (at, look))| (minus(*at, low).map(|x| (x / cell) as i64), *look, c as u32))
        .collect();
    keys.sort_unstable();
    let mut name = vec![0; soup.points_mm.len()];
    let mut stands = Vec::new();
    for together in keys.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        let place = |key: &([i64; 3], u8, u32)| soup.points_mm[key.2 as usize];
        let sum = together.iter().map(place).fold([0.0; 3], plus);
        let mean = times(sum, 1.0 / together.len() as f64);
        let away = |key: &&([i64; 3], u8, u32)| length(minus(place(key), mean));
        let nearest = together.iter().min_by(|a, b| away(a).total_cmp(&away(b)).then(a.2.cmp(&b.2)));
        let number = stands.len() as u32;
        together.iter().for_each(|key| name[key.2 as usize] = number);
        stands.push(nearest.map_or(0, |key| key.2));
    }
    (name, stands)
}
