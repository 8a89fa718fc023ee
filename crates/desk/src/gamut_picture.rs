//! A gamut as a figure.

use figure::{GamutFigure, Patch, Region, Sector, Wanted};
use huewright::Conditions;
use huewright::gamut::{Gamut, Kind};

/// What every kind of way reaches; `whose` names the workshop.
pub fn gamut_figure(found: &Gamut, whose: &str, conditions: &Conditions) -> GamutFigure {
    let mut caption = format!(
        "Each square of {} units of a* and b* that is reached bears the lightest colour reached there; an outline holds \
         what a kind of way reaches (small islands and holes left out), a line with marks the colours that pass while one setting rises. Right: for each \
         kind the greatest chroma and the span of L* by hue, at chroma 10 and more. Seen under {}. \
         Nominal: no scatter of runs. Screens and print differ.",
        found.cell,
        conditions.words()
    );
    if found.ways.iter().any(|w| !w.stand_ins.is_empty()) {
        caption.push_str(" Some films rest on stand-in numbers.");
    }
    if found.kinds.len() > 8 {
        caption.push_str(" The chart outlines the eight widest kinds.");
    }
    let title = match &found.target {
        Some(target) => format!("Within reach of {whose}; wanted: {}", target.given),
        None => format!("Within reach of {whose}"),
    };
    GamutFigure {
        title,
        cell: found.cell,
        regions: found.kinds.iter().map(|kind| region(found, kind)).collect(),
        wanted: found.target.as_ref().map(|t| Wanted {
            lab: t.lab,
            srgb: t.shown.srgb.clone(),
            words: t.shown.name.clone(),
        }),
        caption,
    }
}

fn region(found: &Gamut, kind: &Kind) -> Region {
    let ways = || kind.ways.iter().map(|i| &found.ways[*i]);
    let mut patches: Vec<Patch> = Vec::new();
    let mut lightest: Vec<f64> = Vec::new();
    for cell in ways().flat_map(|w| &w.cells) {
        let patch = Patch { a: cell.a, b: cell.b, srgb: cell.srgb[1].clone() };
        match patches.iter().position(|p| p.a.total_cmp(&cell.a).is_eq() && p.b.total_cmp(&cell.b).is_eq()) {
            Some(there) if cell.lightness[1] > lightest[there] => {
                (patches[there], lightest[there]) = (patch, cell.lightness[1]);
            }
            Some(_) => {}
            None => {
                patches.push(patch);
                lightest.push(cell.lightness[1]);
            }
        }
    }
    let all_lines = ways().all(|w| w.curve.is_some());
    let lines = ways().filter_map(|w| w.curve.as_ref()).filter(|_| all_lines);
    let most = found.ways[kind.most_vivid_way].most_vivid.as_ref();
    Region {
        label: kind.title.clone(),
        detail: most.map_or(String::new(), |s| format!("up to chroma {:.0}, {}", s.chroma, s.shown.name)),
        patches,
        lines: lines.map(|c| c.points.iter().map(|p| ([p.lab[1], p.lab[2]], p.srgb.clone())).collect()).collect(),
        sectors: kind
            .hues
            .iter()
            .zip(&kind.lightness)
            .enumerate()
            .map(|(s, (way, lightness))| {
                let hue = found.ways.get((*way)?)?.hues.get(s)?.as_ref()?;
                Some(Sector {
                    chroma: hue.spot.chroma,
                    srgb: hue.spot.shown.srgb.clone(),
                    lightness: lightness.unwrap_or(hue.lightness),
                })
            })
            .collect(),
    }
}
