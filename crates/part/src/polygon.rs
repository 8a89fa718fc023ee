//! A polygon cut into triangles.

use crate::vector::{Vec3, cross, dot, minus, plus, unit};

/// Polygons with more corners are refused: the time to cut one grows with the third power, at worst.
pub(crate) const MOST_CORNERS: usize = 256;

/// Triangles of a polygon, which may be hollow at places and a little out of plane: ears are clipped one after another
/// (G. H. Meisters, American Mathematical Monthly 82 (1975) 648: any simple polygon has two), seen along M. E. Newell's
/// normal. What crosses itself has no right answer and gets some triangles. Always 2 fewer than corners.
pub(crate) fn cut(places: &[Vec3]) -> Vec<[usize; 3]> {
    let mut left: Vec<usize> = (0..places.len()).collect();
    let mut triangles = Vec::with_capacity(places.len().saturating_sub(2));
    let flat = flattened(places);
    // Where the search for an ear goes on: the place before the last one.
    let (mut at, mut in_vain) = (0, 0);
    while left.len() > 3 {
        let n = left.len();
        let (before, ear, after) = (left[(at + n - 1) % n], left[at % n], left[(at + 1) % n]);
        let clipped = flat.as_ref().is_none_or(|flat| is_ear(flat, &left, [before, ear, after]));
        // Round once without an ear: it crosses itself, or has no area left.
        if clipped || in_vain >= n {
            triangles.push([before, ear, after]);
            left.remove(at % n);
            at = (at % n + n - 2) % (n - 1);
            in_vain = 0;
        } else {
            at = (at + 1) % n;
            in_vain += 1;
        }
    }
    if let [a, b, c] = left[..] {
        triangles.push([a, b, c]);
    }
    triangles
}

/// The polygon seen along its normal, counter-clockwise; `None` where it has none, or three corners.
fn flattened(places: &[Vec3]) -> Option<Vec<[f64; 2]>> {
    if places.len() < 4 {
        return None;
    }
    let first = places[0];
    let mut normal = [0.0; 3];
    for i in 0..places.len() {
        let (a, b) = (minus(places[i], first), minus(places[(i + 1) % places.len()], first));
        normal = plus(normal, cross(a, b));
    }
    let normal = unit(normal)?;
    let aside = if normal[0].abs() < 0.6 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
    let u = unit(cross(aside, normal))?;
    let v = cross(normal, u);
    Some(places.iter().map(|p| minus(*p, first)).map(|p| [dot(p, u), dot(p, v)]).collect())
}

/// Twice the area of a triangle, above 0 counter-clockwise.
fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn is_ear(flat: &[[f64; 2]], left: &[usize], [before, ear, after]: [usize; 3]) -> bool {
    let [a, b, c] = [before, ear, after].map(|i| flat[i]);
    if turn(a, b, c) <= 0.0 {
        return false;
    }
    let same = |p: [f64; 2], q: [f64; 2]| (p[0] - q[0]).abs() <= 0.0 && (p[1] - q[1]).abs() <= 0.0;
    left.iter().filter(|i| ![before, ear, after].contains(i)).map(|i| flat[*i]).all(|p| {
        // A corner at the place of one of the three, as where a slit leads to a hole, does not spoil the ear.
        let corner = same(p, a) || same(p, b) || same(p, c);
        corner || turn(a, b, p) < 0.0 || turn(b, c, p) < 0.0 || turn(c, a, p) < 0.0
    })
}
