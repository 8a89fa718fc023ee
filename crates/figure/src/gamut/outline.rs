//! The outline of a set of squares.

use std::collections::{BTreeMap, BTreeSet};

/// A corner, in whole squares.
pub(crate) type Corner = (i32, i32);

/// Closed outlines around the squares, each as its corners in order; square (i, j) spans i..i+1 and j..j+1. Outer ends
/// run one way round and holes the other.
pub(crate) fn outlines(squares: &BTreeSet<Corner>) -> Vec<Vec<Corner>> {
    // Edges with the square on their left.
    let mut onward: BTreeMap<Corner, Vec<Corner>> = BTreeMap::new();
    for (i, j) in squares.iter().copied() {
        let sides = [
            ((i, j - 1), (i, j), (i + 1, j)),
            ((i + 1, j), (i + 1, j), (i + 1, j + 1)),
            ((i, j + 1), (i + 1, j + 1), (i, j + 1)),
            ((i - 1, j), (i, j + 1), (i, j)),
        ];
        for (neighbour, from, to) in sides {
            if !squares.contains(&neighbour) {
                onward.entry(from).or_default().push(to);
            }
        }
    }
    let mut loops = Vec::new();
    while let Some(start) = onward.keys().next().copied() {
        let mut path = vec![start];
        let mut at = start;
        while let Some(next) = step(&mut onward, at) {
            if next == start {
                break;
            }
            path.push(next);
            at = next;
        }
        loops.push(path);
    }
    loops
}

fn step(onward: &mut BTreeMap<Corner, Vec<Corner>>, at: Corner) -> Option<Corner> {
    let ways = onward.get_mut(&at)?;
    let next = ways.pop();
    if ways.is_empty() {
        onward.remove(&at);
    }
    next
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_has_four_corners_and_a_ring_two_outlines() {
        let one = BTreeSet::from([(0, 0)]);
        assert_eq!(outlines(&one), vec![vec![(0, 0), (1, 0), (1, 1), (0, 1)]]);
        let ring: BTreeSet<Corner> =
            (0..3).flat_map(|i| (0..3).map(move |j| (i, j))).filter(|s| *s != (1, 1)).collect();
        let mut long: Vec<usize> = outlines(&ring).iter().map(Vec::len).collect();
        long.sort_unstable();
        assert_eq!(long, vec![4, 12]);
    }

    #[test]
    fn squares_that_touch_at_a_corner_lose_no_edge() {
        let two = BTreeSet::from([(0, 0), (1, 1)]);
        assert_eq!(outlines(&two).iter().map(Vec::len).sum::<usize>(), 8);
    }
}
