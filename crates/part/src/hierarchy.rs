//! A tree of boxes over triangles, so that a ray meets few of them.
//!
//! Each box is halved where rays are expected to cost least, the triangles sorted into a few bins (after J. Goldsmith
//! and J. Salmon, IEEE Computer Graphics and Applications 7 (5) (1987) 14; I. Wald, IEEE Symposium on Interactive Ray
//! Tracing 2007, 33; both from memory). The tree depends on the mesh alone.

use crate::vector::{Vec3, bounds, minus};

/// A leaf has at most so many triangles, unless all lie at one place.
const LEAF: usize = 4;
const BINS: usize = 12;
/// Below this depth halves are halves by count, which ends within another 21 for two million triangles.
const DEEPEST: u32 = 40;
/// No tree is deeper, so that a stack of this size is enough for going through it.
pub(crate) const STACK: usize = 80;

/// A box: of two more, which follow one another, or of triangles.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Node {
    pub bounds: [Vec3; 2],
    /// The first of its two boxes, or the first place in the order of triangles.
    pub first: u32,
    /// Number of triangles; 0: it has boxes.
    pub count: u32,
}

/// The tree, and the order of triangles that it speaks of.
#[derive(Debug, Clone)]
pub(crate) struct Tree {
    pub nodes: Vec<Node>,
    pub order: Vec<u32>,
}

struct Item {
    bounds: [Vec3; 2],
    middle: Vec3,
}

fn around(items: &[Item], order: &[u32]) -> [Vec3; 2] {
    bounds(order.iter().flat_map(|t| items[*t as usize].bounds)).unwrap_or([[0.0; 3]; 2])
}

/// Half the surface of a box.
fn half_surface([low, high]: [Vec3; 2]) -> f64 {
    let [x, y, z] = minus(high, low);
    x * y + y * z + z * x
}

impl Tree {
    /// Boxes are `slack` wider each way than what is in them, for rounding and for rays within a wall.
    pub(crate) fn new(corners: &[[Vec3; 3]], slack: f64) -> Self {
        let items: Vec<Item> = corners
            .iter()
            .map(|triangle| {
                let bounds = bounds(*triangle).unwrap_or([[0.0; 3]; 2]);
                let middle = [0, 1, 2].map(|i| 0.5 * (bounds[0][i] + bounds[1][i]));
                Item { bounds, middle }
            })
            .collect();
        let mut order: Vec<u32> = (0..corners.len() as u32).collect();
        let mut nodes = vec![Node { bounds: [[0.0; 3]; 2], first: 0, count: 0 }];
        // Which box, its stretch of the order, its depth.
        let mut open = vec![(0_usize, 0_usize, order.len(), 0_u32)];
        while let Some((node, from, to, depth)) = open.pop() {
            let tight = around(&items, &order[from..to]);
            nodes[node].bounds = [tight[0].map(|x| x - slack), tight[1].map(|x| x + slack)];
            let Some(half) = split(&items, &mut order[from..to], tight, depth) else {
                (nodes[node].first, nodes[node].count) = (from as u32, (to - from) as u32);
                continue;
            };
            let first = nodes.len();
            nodes[node].first = first as u32;
            nodes.extend([nodes[node]; 2]);
            open.push((first, from, from + half, depth + 1));
            open.push((first + 1, from + half, to, depth + 1));
        }
        Self { nodes, order }
    }
}

/// Sorts triangles into two halves and says how many are in the first; `None`: they stay together.
fn split(items: &[Item], order: &mut [u32], tight: [Vec3; 2], depth: u32) -> Option<usize> {
    if order.len() <= LEAF {
        return None;
    }
    let [low, high] = bounds(order.iter().map(|t| items[*t as usize].middle))?;
    let wide = minus(high, low);
    let axis = if wide[0] >= wide[1] && wide[0] >= wide[2] {
        0
    } else if wide[1] >= wide[2] {
        1
    } else {
        2
    };
    if wide[axis] <= 0.0 || depth >= DEEPEST {
        return Some(by_count(items, order, axis));
    }
    let bin = |t: u32| {
        let share = (items[t as usize].middle[axis] - low[axis]) / wide[axis];
        ((share * BINS as f64) as usize).min(BINS - 1)
    };
    let mut counts = [0_usize; BINS];
    let mut boxes: [Option<[Vec3; 2]>; BINS] = [None; BINS];
    for t in order.iter() {
        let (b, item) = (bin(*t), &items[*t as usize]);
        counts[b] += 1;
        boxes[b] = join(boxes[b], Some(item.bounds));
    }
    let cost = |count: usize, around: Option<[Vec3; 2]>| around.map_or(0.0, |b| count as f64 * half_surface(b));
    // What the right side costs for each cut.
    let mut right = [0.0; BINS];
    let (mut count, mut joined) = (0, None);
    for cut in (1..BINS).rev() {
        count += counts[cut];
        joined = join(joined, boxes[cut]);
        right[cut] = cost(count, joined);
    }
    let (mut count, mut joined) = (0, None);
    let mut best = (f64::INFINITY, 0);
    for cut in 1..BINS {
        count += counts[cut - 1];
        joined = join(joined, boxes[cut - 1]);
        let both = cost(count, joined) + right[cut];
        if count > 0 && count < order.len() && both < best.0 {
            best = (both, cut);
        }
    }
    if best.1 == 0 {
        return Some(by_count(items, order, axis));
    }
    // A cut that costs more than it saves is worth it only to keep leaves small.
    if order.len() <= 4 * LEAF && best.0 >= order.len() as f64 * half_surface(tight) {
        return None;
    }
    // Stable, so that the tree is the same everywhere.
    order.sort_by_key(|t| bin(*t) >= best.1);
    Some(order.iter().filter(|t| bin(**t) < best.1).count())
}

fn by_count(items: &[Item], order: &mut [u32], axis: usize) -> usize {
    order.sort_by(|a, b| items[*a as usize].middle[axis].total_cmp(&items[*b as usize].middle[axis]).then(a.cmp(b)));
    order.len() / 2
}

fn join(a: Option<[Vec3; 2]>, b: Option<[Vec3; 2]>) -> Option<[Vec3; 2]> {
    match (a, b) {
        (Some(a), Some(b)) => bounds([a[0], a[1], b[0], b[1]]),
        (a, b) => a.or(b),
    }
}
