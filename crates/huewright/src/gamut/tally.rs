//! What the samples of a way cover: cells, sectors of hue, names, and the colours that stand out.

use crate::engine::Engine;
use colour::{Lab, ciede2000};
use std::collections::{BTreeMap, BTreeSet};

/// Side of a cell, units of a* and b*.
pub(crate) const CELL: f64 = 4.0;
/// Sectors of hue.
pub(crate) const SECTORS: usize = 36;
/// Width of a sector, degrees.
pub(crate) const SECTOR_DEG: f64 = 10.0;
/// Below this chroma a colour bears no hue worth the word: the trade words begin to tell hues near it.
pub(crate) const SEEN_CHROMA: f64 = 10.0;
/// Colours of the wanted hue lie within this, degrees.
pub(crate) const SAME_HUE_DEG: f64 = 10.0;
/// Colours of the wanted lightness lie within this.
pub(crate) const SAME_LIGHTNESS: f64 = 10.0;

/// A colour, and the numbers of the space that make it.
#[derive(Debug, Clone)]
pub(crate) struct Made {
    pub(crate) x: Vec<f64>,
    pub(crate) lab: Lab,
}

/// One sector of hue.
#[derive(Debug, Clone)]
pub(crate) struct Sector {
    pub(crate) most: Made,
    pub(crate) lightness: [f64; 2],
}

/// Darkest and lightest colour of each cell.
pub(crate) type Cells = BTreeMap<(i32, i32), [Lab; 2]>;

/// The sum of a way's samples.
#[derive(Debug, Clone)]
pub(crate) struct Tally {
    wanted: Option<Lab>,
    pub(crate) cells: Cells,
    pub(crate) sectors: Vec<Option<Sector>>,
    pub(crate) most: Option<Made>,
    /// Most vivid at the wanted hue and lightness.
    pub(crate) at_hue: Option<Made>,
    pub(crate) names: BTreeSet<String>,
}

/// Which sector a hue angle falls into.
pub(crate) fn sector_of(hue_deg: f64) -> usize {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 36")]
    let sector = (hue_deg / SECTOR_DEG) as usize;
    sector % SECTORS
}

/// Whether a colour has the wanted hue and lightness.
pub(crate) fn alike_in_hue(lab: Lab, wanted: Lab) -> bool {
    let off = (lab.lch().h - wanted.lch().h).rem_euclid(360.0);
    off.min(360.0 - off) <= SAME_HUE_DEG && (lab.l - wanted.l).abs() <= SAME_LIGHTNESS
}

fn cell_of(lab: Lab) -> (i32, i32) {
    #[expect(clippy::cast_possible_truncation, reason = "a* and b* are a few hundred at most")]
    let number = |v: f64| (v / CELL).round() as i32;
    (number(lab.a), number(lab.b))
}

impl Tally {
    pub(crate) fn new(wanted: Option<Lab>) -> Self {
        Self {
            wanted,
            cells: Cells::new(),
            sectors: vec![None; SECTORS],
            most: None,
            at_hue: None,
            names: BTreeSet::new(),
        }
    }

    /// A colour between two neighbours of a line: it covers its cell.
    fn cover(&mut self, lab: Lab) {
        let [darkest, lightest] = self.cells.entry(cell_of(lab)).or_insert([lab, lab]);
        if lab.l < darkest.l {
            *darkest = lab;
        }
        if lab.l > lightest.l {
            *lightest = lab;
        }
    }

    /// Counts a sample made by `x`.
    pub(crate) fn add(&mut self, engine: &Engine, x: &[f64], lab: Lab) {
        self.cover(lab);
        let name = engine.names().name(lab);
        if !self.names.contains(name) {
            self.names.insert(name.to_owned());
        }
        let lch = lab.lch();
        if lch.c >= SEEN_CHROMA {
            match &mut self.sectors[sector_of(lch.h)] {
                Some(sector) => {
                    sector.lightness = [sector.lightness[0].min(lab.l), sector.lightness[1].max(lab.l)];
                    keep(&mut sector.most, x, lab);
                }
                empty => *empty = Some(Sector { most: made(x, lab), lightness: [lab.l, lab.l] }),
            }
        }
        keep_or_set(&mut self.most, x, lab);
        if self.wanted.is_some_and(|wanted| alike_in_hue(lab, wanted)) {
            keep_or_set(&mut self.at_hue, x, lab);
        }
    }

    /// Counts a line of neighbouring samples: what lies between two of them is reached too, and by their turning alone.
    pub(crate) fn add_line(&mut self, engine: &Engine, line: &[Made]) {
        // Neighbours further apart than this were not sampled finely enough to speak for what lies between.
        const NEIGHBOURS: f64 = 6.0;
        for (i, point) in line.iter().enumerate() {
            self.add(engine, &point.x, point.lab);
            let Some(next) = line.get(i + 1) else { continue };
            let (p, q) = (point.lab, next.lab);
            if libm::hypot(p.a - q.a, p.b - q.b) > 0.5 * CELL && ciede2000(p, q) < NEIGHBOURS {
                for share in [0.25, 0.5, 0.75] {
                    let between = |u: f64, v: f64| u + share * (v - u);
                    self.cover(Lab { l: between(p.l, q.l), a: between(p.a, q.a), b: between(p.b, q.b) });
                }
            }
        }
    }
}

fn made(x: &[f64], lab: Lab) -> Made {
    Made { x: x.to_vec(), lab }
}

fn keep(most: &mut Made, x: &[f64], lab: Lab) {
    if libm::hypot(lab.a, lab.b) > libm::hypot(most.lab.a, most.lab.b) {
        *most = made(x, lab);
    }
}

fn keep_or_set(most: &mut Option<Made>, x: &[f64], lab: Lab) {
    match most {
        Some(most) => keep(most, x, lab),
        empty => *empty = Some(made(x, lab)),
    }
}
