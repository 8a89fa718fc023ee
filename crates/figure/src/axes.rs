//! A small chart's frame: where numbers lie on the paper, ticks, labels with units.

use crate::ribbon::{short, ticks};
use crate::text::{FAINT, Hang, INK, line};

pub(crate) const GRID: &str = "#dedcd5";
const SMALL: f64 = 13.0;

/// Where the numbers of a small chart lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Axes {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) wide: f64,
    pub(crate) tall: f64,
    /// Least and greatest number across.
    pub(crate) across: [f64; 2],
    /// Least and greatest number up.
    pub(crate) up: [f64; 2],
}

impl Axes {
    pub(crate) fn x_of(&self, value: f64) -> f64 {
        self.x + (value - self.across[0]) / (self.across[1] - self.across[0]).max(1e-12) * self.wide
    }

    pub(crate) fn y_of(&self, value: f64) -> f64 {
        self.y + self.tall - (value - self.up[0]) / (self.up[1] - self.up[0]).max(1e-12) * self.tall
    }

    /// Grid, ticks and labels; the label of what goes up stands over the chart.
    pub(crate) fn frame(&self, across: &str, up: &str, marks: &[f64]) -> String {
        let mut svg = String::new();
        for tick in few(self.up) {
            let y = self.y_of(tick);
            svg.push_str(&format!(
                "<path d=\"M{:.1} {y:.1} h{:.1}\" stroke=\"{GRID}\" stroke-width=\"1\"/>\n",
                self.x, self.wide
            ));
            svg.push_str(&line(self.x - 7.0, y + 4.5, SMALL, Hang::End, INK, &short(tick)));
        }
        svg.push_str(&line(self.x, self.y - 9.0, SMALL, Hang::Start, INK, up));
        svg.push_str(&self.ground(across, marks));
        svg
    }

    /// The axis across alone.
    pub(crate) fn ground(&self, across: &str, marks: &[f64]) -> String {
        let bottom = self.y + self.tall;
        let mut svg = format!(
            "<path d=\"M{:.1} {bottom:.1} h{:.1}\" stroke=\"{FAINT}\" stroke-width=\"1\"/>\n",
            self.x, self.wide
        );
        for tick in marks {
            let x = self.x_of(*tick);
            svg.push_str(&format!(
                "<path d=\"M{x:.1} {bottom:.1} v5\" stroke=\"{FAINT}\" stroke-width=\"1\"/>\n{}",
                line(x, bottom + 19.0, SMALL, Hang::Middle, INK, &short(*tick))
            ));
        }
        svg.push_str(&line(self.x + 0.5 * self.wide, bottom + 38.0, SMALL, Hang::Middle, INK, across));
        svg
    }

    /// The points of a line.
    pub(crate) fn path(&self, points: impl IntoIterator<Item = [f64; 2]>) -> String {
        let points: Vec<String> =
            points.into_iter().map(|[x, y]| format!("{:.1} {:.1}", self.x_of(x), self.y_of(y))).collect();
        if points.is_empty() { String::new() } else { format!("M{}", points.join(" L")) }
    }
}

/// Round numbers, at most six: a small chart has no room for more.
pub(crate) fn few([from, to]: [f64; 2]) -> Vec<f64> {
    let all = ticks(from, to);
    match all.len() {
        0..=6 => all,
        // Those that are round to the next step, so that 0 stays.
        _ => {
            let step = all[1] - all[0];
            all.into_iter().filter(|t| ((t / step).round() / 2.0).fract().abs() < 1e-9).collect()
        }
    }
}

/// Least and greatest of numbers; `None` without any.
pub(crate) fn span(values: impl IntoIterator<Item = f64>) -> Option<[f64; 2]> {
    values.into_iter().filter(|v| v.is_finite()).fold(None, |held, v| match held {
        None => Some([v, v]),
        Some([low, high]) => Some([v.min(low), v.max(high)]),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_small_chart_has_few_round_ticks() {
        assert_eq!(few([0.0, 360.0]), vec![0.0, 100.0, 200.0, 300.0]);
        assert_eq!(few([0.0, 9.0]), vec![0.0, 2.0, 4.0, 6.0, 8.0]);
        for to in 1..400 {
            let list = few([0.0, 0.13 * f64::from(to)]);
            assert!((2..=6).contains(&list.len()) && list[0] == 0.0, "{to}: {list:?}");
        }
    }

    #[test]
    fn numbers_lie_between_the_ends() {
        let axes = Axes { x: 10.0, y: 20.0, wide: 100.0, tall: 50.0, across: [0.0, 4.0], up: [1.0, 2.0] };
        assert_eq!((axes.x_of(0.0), axes.x_of(4.0), axes.y_of(1.0), axes.y_of(2.0)), (10.0, 110.0, 70.0, 20.0));
        assert_eq!(axes.path([[0.0, 1.0], [2.0, 2.0]]), "M10.0 70.0 L60.0 20.0");
        assert_eq!(span([3.0, f64::NAN, 1.0]), Some([1.0, 3.0]));
    }
}
