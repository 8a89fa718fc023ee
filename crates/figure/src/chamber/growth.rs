//! The colours that pass while a film grows, with its composition where that changes.

use super::{Growth, LEFT, MARGIN, SMALL, WIDTH, told};
use crate::axes::{Axes, few, span};
use crate::text::{Hang, INK, count, escape, over, width};

const STRIP: f64 = 58.0;
const CHART: f64 = 84.0;

pub(super) fn panel(g: &Growth, y: f64) -> (String, f64) {
    let end = g.thickness_nm.last().copied().unwrap_or(1.0).max(1e-9);
    let mut top = y;
    let mut svg = String::new();
    let axes = |y: f64, tall: f64, up: [f64; 2]| Axes {
        x: LEFT,
        y,
        wide: WIDTH - LEFT - MARGIN - 8.0,
        tall,
        across: [0.0, end],
        up,
    };
    if let Some(composition) = &g.composition {
        let [low, high] = span(composition.iter().copied()).unwrap_or([0.0, 1.0]);
        let room = (0.15 * (high - low)).max(0.02);
        let chart = axes(y + 16.0, CHART, [(low - room).max(0.0), (high + room).min(1.0)]);
        svg.push_str(&chart.frame("", "composition of what is laid", &[]));
        let points = g.thickness_nm.iter().zip(composition).map(|(nm, c)| [*nm, *c]);
        svg.push_str(&format!(
            "<path d=\"{}\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"2\"/>\n",
            chart.path(points)
        ));
        top = y + 16.0 + CHART + 14.0;
    }
    let strip = axes(top, STRIP, [0.0, 1.0]);
    let each = strip.wide / count(g.colours.len().max(1));
    for (i, colour) in g.colours.iter().enumerate() {
        // A little overlap, so that no seam shows.
        svg.push_str(&format!(
            "<rect x=\"{:.2}\" y=\"{top:.1}\" width=\"{:.2}\" height=\"{STRIP}\" fill=\"{}\"/>\n",
            strip.x + count(i) * each,
            each + 0.6,
            escape(colour)
        ));
    }
    svg.push_str(&strip.ground("laid of this film, nm", &few([0.0, end])));
    let bands = bands(g);
    // What stands as a sentence needs no names below the strip.
    let sentence: Vec<String> = bands.iter().map(|b| format!("{} to {} nm", b.word, nm(b.to))).collect();
    let mut words = format!("Seen while it grows: {}.", sentence.join(", "));
    if !g.note.is_empty() {
        words.push_str(&format!(" {}.", g.note));
    }
    svg.push_str(&names(&bands, &strip));
    let (text, bottom) = told(top + STRIP + 64.0, &words);
    svg.push_str(&text);
    (svg, bottom - 8.0)
}

fn nm(value: f64) -> String {
    if value < 10.0 { format!("{value:.1}") } else { format!("{value:.0}") }
}

struct Word<'g> {
    word: &'g str,
    from: f64,
    to: f64,
}

/// Runs of one trade word; each ends half-way to the next.
fn bands(g: &Growth) -> Vec<Word<'_>> {
    let mut list: Vec<Word<'_>> = Vec::new();
    let last = g.thickness_nm.len().saturating_sub(1);
    for (i, word) in g.words.iter().enumerate().take(last + 1) {
        let here = g.thickness_nm[i];
        let to = if i == last { here } else { 0.5 * (here + g.thickness_nm[i + 1]) };
        match list.last_mut() {
            Some(band) if band.word == word => band.to = to,
            before => {
                let from = before.map_or(here, |b| b.to);
                list.push(Word { word, from, to });
            }
        }
    }
    list
}

/// Names on the strip where they fit, in ink or paper, whichever shows.
fn names(bands: &[Word<'_>], strip: &Axes) -> String {
    let mut svg = String::new();
    for band in bands {
        let (x0, x1) = (strip.x_of(band.from), strip.x_of(band.to));
        if width(band.word, SMALL) + 6.0 < x1 - x0 {
            let y = strip.y + 0.5 * strip.tall + 5.0;
            svg.push_str(&over(0.5 * (x0 + x1), y, SMALL, Hang::Middle, band.word));
        }
    }
    svg
}

pub(super) fn summary(g: &Growth) -> String {
    let list: Vec<String> =
        bands(g).iter().map(|b| format!("{} from {:.1} to {:.1} nm", b.word, b.from, b.to)).collect();
    let graded =
        g.composition.as_ref().and_then(|c| Some(format!("; composition from {:.2} to {:.2}", c.first()?, c.last()?)));
    format!("while the film grows: {}{}", list.join(", "), graded.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_join_without_a_gap() {
        let g = Growth {
            thickness_nm: vec![0.0, 1.0, 2.0, 3.0],
            colours: vec!["#ffffff".to_owned(); 4],
            words: ["silver", "gold", "gold", "blue"].map(str::to_owned).to_vec(),
            composition: None,
            note: String::new(),
        };
        let told: Vec<(&str, f64, f64)> = bands(&g).iter().map(|b| (b.word, b.from, b.to)).collect();
        assert_eq!(told, [("silver", 0.0, 0.5), ("gold", 0.5, 2.5), ("blue", 2.5, 3.0)]);
    }
}
