//! Corners at the same place become one.

use crate::reading::Soup;
use crate::vector::{Vec3, bounds, length, minus};
use std::collections::BTreeMap;

/// Corners nearer than this share of the mesh's size are one.
const SAME_SHARE: f64 = 1e-6;
/// Half a step of 32-bit numbers is 2^-24 of them; corners that were rounded on their own differ by a few.
const SAME_DIGITS: f64 = 4.0 / 16_777_216.0;

/// How near corners must be to be taken as one, mm.
pub(crate) fn nearness_mm(points_mm: &[Vec3]) -> f64 {
    let Some([low, high]) = bounds(points_mm.iter().copied()) else { return 0.0 };
    let farthest = low.iter().chain(&high).fold(0.0_f64, |most, x| most.max(x.abs()));
    (SAME_SHARE * length(minus(high, low))).max(SAME_DIGITS * farthest)
}

/// Merges corners nearer than `near_mm`, and drops those that no triangle names. Of a few the first in order of place
/// stays where it is.
pub(crate) fn weld(soup: &Soup, near_mm: f64) -> Soup {
    let points = &soup.points_mm;
    let mut used = vec![false; points.len()];
    soup.triangles.iter().flatten().for_each(|c| used[*c as usize] = true);
    let mut order: Vec<u32> = (0..points.len() as u32).filter(|c| used[*c as usize]).collect();
    let by_place = |a: &u32, b: &u32| {
        let (a, b) = (points[*a as usize], points[*b as usize]);
        a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])).then(a[2].total_cmp(&b[2]))
    };
    order.sort_unstable_by(|a, b| by_place(a, b).then(a.cmp(b)));
    let mut kept: Vec<Vec3> = Vec::new();
    let mut names = vec![0_u32; points.len()];
    // Cells of twice the nearness: what is near a corner lies in its cell or, on each axis, in one neighbour. They hold
    // few corners, however a file crowds them, since no two of them are near.
    let cell = 2.0 * near_mm;
    let mut cells: BTreeMap<[i64; 3], Vec<u32>> = BTreeMap::new();
    let mut last: Option<u32> = None;
    for corner in order {
        let at = points[corner as usize];
        if let Some(before) = last.filter(|before| by_place(before, &corner).is_eq()) {
            names[corner as usize] = names[before as usize];
            continue;
        }
        last = Some(corner);
        if near_mm <= 0.0 {
            names[corner as usize] = kept.len() as u32;
            kept.push(at);
            continue;
        }
        let place = at.map(|x| x / cell);
        let own = place.map(|x| x.floor() as i64);
        let beside = [0, 1, 2].map(|i| own[i] + if place[i] - place[i].floor() < 0.5 { -1 } else { 1 });
        let mut found = None;
        for which in 0..8 {
            let key = [0, 1, 2].map(|i| if which >> i & 1 == 0 { own[i] } else { beside[i] });
            let here = cells.get(&key).into_iter().flatten();
            found = found.or(here.copied().find(|k| length(minus(kept[*k as usize], at)) <= near_mm));
        }
        names[corner as usize] = found.unwrap_or_else(|| {
            let name = kept.len() as u32;
            kept.push(at);
            cells.entry(own).or_default().push(name);
            name
        });
    }
    let triangles = soup.triangles.iter().map(|named| named.map(|c| names[c as usize])).collect();
    Soup { points_mm: kept, triangles }
}
