//! Ways of one kind taken together.

use super::answer::{Kind, Reached};
use super::tally::{Cells, SECTOR_DEG, SECTORS};
use super::{Covered, area};
use crate::engine::Engine;

/// The kinds of the ways that reach anything, the widest first.
pub(crate) fn kinds(engine: &Engine, done: &[(Reached, Covered)]) -> Vec<Kind> {
    let mut titles: Vec<&str> = Vec::new();
    for (way, _) in done {
        if let Some(title) = way.kind.as_deref()
            && !titles.contains(&title)
        {
            titles.push(title);
        }
    }
    let mut list: Vec<Kind> = titles.into_iter().filter_map(|title| kind(engine, title, done)).collect();
    list.sort_by(|a, b| b.area.total_cmp(&a.area));
    list
}

fn kind(engine: &Engine, title: &str, done: &[(Reached, Covered)]) -> Option<Kind> {
    let ways: Vec<usize> = (0..done.len()).filter(|i| done[*i].0.kind.as_deref() == Some(title)).collect();
    let mut cells = Cells::new();
    for (place, ends) in ways.iter().flat_map(|i| &done[*i].1.cells) {
        cells.entry(*place).or_insert(*ends);
    }
    let chroma = |i: usize| done[i].0.most_vivid.as_ref().map_or(0.0, |s| s.chroma);
    let most_vivid_way = ways.iter().copied().reduce(|a, b| if chroma(b) > chroma(a) { b } else { a })?;
    let sector = |i: usize, s: usize| done[i].0.hues.get(s).and_then(Option::as_ref);
    let hues: Vec<Option<usize>> = (0..SECTORS)
        .map(|s| {
            let vivid = |i: usize| sector(i, s).map_or(0.0, |h| h.spot.chroma);
            let there = ways.iter().copied().filter(|i| sector(*i, s).is_some());
            there.reduce(|a, b| if vivid(b) > vivid(a) { b } else { a })
        })
        .collect();
    let lightness = (0..SECTORS)
        .map(|s| {
            let ends = ways.iter().filter_map(|i| sector(*i, s)).map(|h| h.lightness);
            ends.reduce(|a, b| [a[0].min(b[0]), a[1].max(b[1])])
        })
        .collect();
    let reached = |name: &str| ways.iter().any(|i| done[*i].0.names.iter().any(|n| n == name));
    let rows = engine.names().rows().iter();
    let names_missing = rows.map(|r| r.name.clone()).filter(|n| !reached(n)).collect();
    let gaps_deg = gaps(&hues);
    Some(Kind {
        title: title.to_owned(),
        area: area(&cells),
        ways,
        most_vivid_way,
        hues,
        lightness,
        gaps_deg,
        names_missing,
    })
}

/// Empty sectors joined, around the circle.
fn gaps(hues: &[Option<usize>]) -> Vec<[f64; 2]> {
    if hues.iter().all(Option::is_none) {
        return vec![[0.0, 360.0]];
    }
    let degrees = |i: usize| SECTOR_DEG * f64::from(u32::try_from(i).unwrap_or(0));
    let count = hues.len();
    let mut list = Vec::new();
    for from in (0..count).filter(|i| hues[*i].is_none() && hues[(*i + count - 1) % count].is_some()) {
        let long = (0..count).take_while(|k| hues[(from + k) % count].is_none()).count();
        list.push([degrees(from), degrees(from + long)]);
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gaps_are_joined_around_the_circle() {
        let mut hues = vec![Some(0); SECTORS];
        (hues[0], hues[1], hues[35], hues[10]) = (None, None, None, None);
        assert_eq!(gaps(&hues), vec![[100.0, 110.0], [350.0, 380.0]]);
        assert_eq!(gaps(&vec![None; SECTORS]), vec![[0.0, 360.0]]);
        assert!(gaps(&vec![Some(3); SECTORS]).is_empty());
    }
}
