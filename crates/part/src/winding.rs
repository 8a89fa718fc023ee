//! Which way triangles face: made the same over each piece of a surface, and outward.

use crate::edges::{Edge, Edges, Sets};
use crate::mesh::tetrahedron;
use crate::vector::{Vec3, bounds, doubled, length, minus, plus, times};

/// What was found, and turned.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Turned {
    /// Triangles that faced against their neighbours.
    pub flipped: u32,
    /// Edges at which no turning helps, as on a strip that was twisted once, and one of them.
    pub twisted: Option<(u32, Vec3)>,
    /// Pieces that were inside out, and how many there are.
    pub inside_out: u32,
    pub pieces: u32,
}

/// An open piece that holds less than this share of its area to the power 1.5 is taken as flat: which side is outside
/// cannot be said. (A ball holds 0.094.)
const FLAT: f64 = 1e-3;
/// Pieces are looked for within so many of the largest others.
const LARGEST: usize = 64;

/// Turns triangles of each piece the way most of its area faces, then pieces that are inside out.
///
/// A piece is what hangs together by edges of two triangles. It is inside out if what it holds, its holes closed by
/// fans, is negative, unless it lies in the box of another: then it is taken as the wall of a hollow.
pub(crate) fn turn(points: &[Vec3], triangles: &mut [[u32; 3]]) -> Turned {
    let edges = Edges::of(triangles);
    let mut sets = Sets::of(triangles.len());
    edges.pairs().for_each(|[a, b]| sets.unite(a.triangle, b.triangle));
    let (piece, count) = sets.numbered();
    let mut turned = Turned { pieces: count as u32, ..Turned::default() };
    let (against, twisted) = against(&edges, triangles.len(), points, &mut turned);
    let areas: Vec<f64> =
        triangles.iter().map(|named| 0.5 * length(doubled(named.map(|c| points[c as usize])))).collect();
    // Area of each piece that faces as its first triangle, less what faces against it.
    let mut balance = vec![0.0; count];
    for (t, area) in areas.iter().enumerate() {
        balance[piece[t] as usize] += if against[t] { -area } else { *area };
    }
    for (t, named) in triangles.iter_mut().enumerate() {
        if against[t] == (balance[piece[t] as usize] >= 0.0) {
            named.swap(1, 2);
            turned.flipped += 1;
        }
    }
    let mut inside_out = inside_out(points, triangles, &piece, count, &areas);
    // What has no outside has no inside.
    twisted.iter().for_each(|t| inside_out[piece[*t as usize] as usize] = false);
    turned.inside_out = inside_out.iter().filter(|out| **out).count() as u32;
    for (t, named) in triangles.iter_mut().enumerate() {
        if inside_out[piece[t] as usize] {
            named.swap(1, 2);
        }
    }
    turned
}

/// Whether each triangle faces against the first of its piece; and triangles with an edge at which that cannot be.
fn against(edges: &Edges, count: usize, points: &[Vec3], turned: &mut Turned) -> (Vec<bool>, Vec<u32>) {
    // Neighbours of each triangle, and whether they pass the common edge the same way: then one faces against the
    // other.
    let mut beside: Vec<[Option<(u32, bool)>; 3]> = vec![[None; 3]; count];
    for [a, b] in edges.pairs() {
        let same = a.rising == b.rising;
        beside[a.triangle as usize][usize::from(a.side)] = Some((b.triangle, same));
        beside[b.triangle as usize][usize::from(b.side)] = Some((a.triangle, same));
    }
    let mut facing: Vec<Option<bool>> = vec![None; count];
    let mut open = Vec::new();
    for first in 0..count {
        if facing[first].is_some() {
            continue;
        }
        facing[first] = Some(false);
        open.push(first);
        while let Some(t) = open.pop() {
            for (next, same) in beside[t].into_iter().flatten() {
                let next = next as usize;
                if facing[next].is_none() {
                    facing[next] = Some((facing[t] == Some(true)) != same);
                    open.push(next);
                }
            }
        }
    }
    let mut twisted = Vec::new();
    for [a, b] in edges.pairs() {
        let agree = facing[a.triangle as usize] == facing[b.triangle as usize];
        if agree == (a.rising == b.rising) {
            let at = points[a.ends[0] as usize];
            twisted.push(a.triangle);
            turned.twisted = Some(turned.twisted.map_or((1, at), |(n, at)| (n + 1, at)));
        }
    }
    (facing.into_iter().map(|against| against == Some(true)).collect(), twisted)
}

fn inside_out(points: &[Vec3], triangles: &[[u32; 3]], piece: &[u32], count: usize, areas: &[f64]) -> Vec<bool> {
    let mut boxes: Vec<Option<[Vec3; 2]>> = vec![None; count];
    for (t, named) in triangles.iter().enumerate() {
        let own = &mut boxes[piece[t] as usize];
        *own = bounds(named.iter().map(|c| points[*c as usize]).chain(own.iter().flatten().copied()));
    }
    // From a corner of each piece's own box: small pieces far away keep their digits.
    let from = |p: u32| boxes[p as usize].map_or([0.0; 3], |b| b[0]);
    let (mut volume, mut area) = (vec![0.0; count], vec![0.0; count]);
    for (t, named) in triangles.iter().enumerate() {
        let own = piece[t] as usize;
        volume[own] += tetrahedron(named.map(|c| minus(points[c as usize], from(piece[t]))));
        area[own] += areas[t];
    }
    let rims = rims(triangles, piece, count);
    for (own, rim) in rims.iter().enumerate() {
        // Closed by a fan of triangles to the middle of its rims.
        let middle = rim.iter().fold([0.0; 3], |sum, ends| ends.iter().fold(sum, |s, c| plus(s, points[*c as usize])));
        let middle = times(middle, 0.5 / rim.len().max(1) as f64);
        for [a, b] in rim {
            let fan = [points[*b as usize], points[*a as usize], middle].map(|p| minus(p, from(own as u32)));
            volume[own] += tetrahedron(fan);
        }
    }
    let mut largest: Vec<usize> = (0..count).collect();
    largest.sort_by(|a, b| area[*b].total_cmp(&area[*a]));
    largest.truncate(LARGEST);
    let within = |p: usize| {
        largest.iter().any(|other| match (boxes[p], boxes[*other]) {
            (Some([low, high]), Some([other_low, other_high])) if *other != p => {
                (0..3).all(|i| low[i] >= other_low[i] && high[i] <= other_high[i]) && area[p] < area[*other]
            }
            _ => false,
        })
    };
    (0..count)
        .map(|p| {
            let least = if !rims[p].is_empty() { FLAT * area[p] * area[p].sqrt() } else { 0.0 };
            volume[p] < -least && !within(p)
        })
        .collect()
}

/// Sides of each piece that no other triangle of the piece passes the other way, from corner to corner: its open edges,
/// and those where it ends at other pieces.
fn rims(triangles: &[[u32; 3]], piece: &[u32], count: usize) -> Vec<Vec<[u32; 2]>> {
    let mut rims = vec![Vec::new(); count];
    for shared in Edges::of(triangles).shared().filter(|shared| shared.len() != 2) {
        let mut sides = shared.to_vec();
        sides.sort_by_key(|e| (piece[e.triangle as usize], e.triangle));
        for own in sides.chunk_by(|a, b| piece[a.triangle as usize] == piece[b.triangle as usize]) {
            let rising = own.iter().filter(|e| e.rising).count();
            let falling = own.len() - rising;
            let rim = &mut rims[piece[own[0].triangle as usize] as usize];
            let [low, high] = own[0].ends;
            rim.extend(std::iter::repeat_n([low, high], rising.saturating_sub(falling)));
            rim.extend(std::iter::repeat_n([high, low], falling.saturating_sub(rising)));
        }
    }
    rims
}

/// Open edges that hang together.
#[derive(Debug, Clone)]
pub(crate) struct Hole {
    pub edges: Vec<Edge>,
    /// The mean place of their ends.
    pub middle: Vec3,
    pub length_mm: f64,
}

/// The holes of a surface, in the order of their lowest corner.
pub(crate) fn holes(edges: &Edges, points: &[Vec3]) -> Vec<Hole> {
    let open: Vec<Edge> = edges.open().collect();
    let mut sets = Sets::of(points.len());
    open.iter().for_each(|e| sets.unite(e.ends[0], e.ends[1]));
    let mut by_root: std::collections::BTreeMap<u32, Hole> = std::collections::BTreeMap::new();
    for edge in open {
        let root = sets.root(edge.ends[0]);
        let [a, b] = edge.ends.map(|c| points[c as usize]);
        let hole = by_root.entry(root).or_insert(Hole { edges: Vec::new(), middle: [0.0; 3], length_mm: 0.0 });
        hole.edges.push(edge);
        hole.middle = plus(hole.middle, plus(a, b));
        hole.length_mm += length(minus(b, a));
    }
    let mut holes: Vec<Hole> = by_root.into_values().collect();
    for hole in &mut holes {
        hole.middle = times(hole.middle, 0.5 / hole.edges.len() as f64);
    }
    holes
}
