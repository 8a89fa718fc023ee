//! A target as it is seen from the load: an upright strip that emits evenly, behind what stands before it.

use crate::emission::power;
use std::f64::consts::PI;

/// An upright flat target that looks at the axis of the table.
///
/// Its erosion track is taken as one strip that emits evenly; two legs of an oval track count as one. Directions around
/// the chamber are counted counter-clockwise seen from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Where it stands around the chamber, degrees.
    pub bearing_deg: f64,
    /// From the axis of the table to its face, mm. All of the load is nearer to the axis than that.
    pub axis_mm: f64,
    /// Height of its track, mm, above 0.
    pub track_height_mm: f64,
    /// Width of its track, mm, above 0.
    pub track_width_mm: f64,
    /// Exponent n of its cosine law.
    pub emission: f64,
    /// Its middle above the middle of the load, mm.
    pub centre_mm: f64,
    /// Depth of the worn track, mm; 0: new. The walls of the groove are taken as steep, and what meets them as lost, so
    /// that the loss is rather too large.
    pub groove_mm: f64,
}

/// An upright round body that nothing passes, taken as endless above and below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shield {
    /// Its axis, mm from the axis of the table.
    pub at_mm: [f64; 2],
    /// Its radius, mm. A receiver is never within it: the body then ends at the receiver.
    pub radius_mm: f64,
}

/// A panel is no longer than this share of the distance; see [`Target::arriving`].
const PANEL: f64 = 1.2;

/// Nodes and weights of Gauss and Legendre with four points on 0..1, in closed form.
pub(crate) fn nodes() -> [(f64, f64); 4] {
    let root = (6.0_f64 / 5.0).sqrt();
    let (near, far) = ((3.0 / 7.0 - 2.0 / 7.0 * root).sqrt(), (3.0 / 7.0 + 2.0 / 7.0 * root).sqrt());
    let root = 30.0_f64.sqrt();
    let (heavy, light) = ((18.0 + root) / 72.0, (18.0 - root) / 72.0);
    [(0.5 * (1.0 - far), light), (0.5 * (1.0 - near), heavy), (0.5 * (1.0 + near), heavy), (0.5 * (1.0 + far), light)]
}

/// A target with what is worked out once for many receivers.
#[derive(Debug, Clone)]
pub(crate) struct Face {
    target: Target,
    /// Unit vector from the axis to the target.
    out: [f64; 2],
    nodes: [(f64, f64); 4],
    /// Panels for each length [`PANEL`] times the distance: 1, or more to see what the grid costs.
    fineness: f64,
    hidden: Vec<[f64; 2]>,
}

impl Target {
    /// The middle of its face, mm from the axis of the table, seen from above.
    pub fn at_mm(&self) -> [f64; 2] {
        let (sin, cos) = libm::sincos(self.bearing_deg.to_radians());
        [self.axis_mm * cos, self.axis_mm * sin]
    }

    /// Share of all that the target emits which arrives on a receiver at `at` (mm; x and y from the table's axis, z from
    /// the middle of the load) with the normal `normal` (of length 1), for each mm2 of it.
    ///
    /// The part of the strip that the receiver sees is a rectangle: less what `shields` hide, which is exact for upright
    /// bodies, less what lies behind the receiver's own plane, and, of a worn track, less what the rims of the groove
    /// hide, max(0, 1 - depth/width tan) from afar. Over what is left the law of [`crate::emission::arriving`] is summed
    /// on panels no longer than 0.3 times the distance with 4 x 4 emitters each, which errs by less than 1e-6. Means
    /// take panels four times as long and err by less than 1e-4.
    pub fn arriving(&self, at: [f64; 3], normal: [f64; 3], shields: &[Shield]) -> f64 {
        Face::new(*self, 4.0).arriving(at, normal, shields)
    }
}

impl Face {
    pub(crate) fn new(target: Target, fineness: f64) -> Self {
        let (sin, cos) = libm::sincos(target.bearing_deg.to_radians());
        Self { target, out: [cos, sin], nodes: nodes(), fineness, hidden: Vec::new() }
    }

    /// As [`Target::arriving`].
    pub(crate) fn arriving(&mut self, at: [f64; 3], normal: [f64; 3], shields: &[Shield]) -> f64 {
        let t = &self.target;
        let turn = |x: f64, y: f64| [x * self.out[0] + y * self.out[1], y * self.out[0] - x * self.out[1]];
        // Seen from the receiver: ahead to the plane of the face, across it, and up.
        let [along, across] = turn(at[0], at[1]);
        let [ahead, sideways] = turn(normal[0], normal[1]);
        let gap = t.axis_mm - along;
        if gap <= 0.0 {
            return 0.0;
        }
        let floor = gap + t.groove_mm;
        let spread = floor / gap;
        // What of the floor is seen through the mouth of the groove, which is as large as the floor.
        let seen = |place: f64, half: f64| {
            [(-half).max(place + (-half - place) * spread), half.min(place + (half - place) * spread)]
        };
        let [mut low, mut high] = seen(across, 0.5 * t.track_width_mm);
        let up = at[2] - t.centre_mm;
        let [foot, head] = seen(up, 0.5 * t.track_height_mm);
        if foot >= head {
            return 0.0;
        }
        let tilted = normal[2].abs() > 1e-12;
        if !tilted {
            // Upright receivers see along an upright edge.
            let edge = across - ahead * floor / sideways;
            if sideways > 1e-12 {
                low = low.max(edge);
            } else if sideways < -1e-12 {
                high = high.min(edge);
            } else if ahead <= 0.0 {
                return 0.0;
            }
        }
        if low >= high {
            return 0.0;
        }
        self.hidden.clear();
        for shield in shields {
            let [c_along, c_across] = turn(shield.at_mm[0] - at[0], shield.at_mm[1] - at[1]);
            if let Some([from, to]) = hides(c_along, c_across, shield.radius_mm) {
                self.hidden.push([across + floor * from, across + floor * to]);
            }
        }
        self.hidden.sort_unstable_by(|a, b| a[0].total_cmp(&b[0]));
        let strip = Strip { floor, across, up, ahead, sideways, rise: normal[2], foot, head, tilted };
        let mut sum = 0.0;
        let mut from = low;
        for [begins, ends] in self.hidden.iter().copied().chain([[high, high]]) {
            if begins > from {
                sum += self.between(&strip, from, begins.min(high));
            }
            from = from.max(ends);
            if from >= high {
                break;
            }
        }
        let n = t.emission;
        sum * (n + 1.0) / (2.0 * PI * t.track_width_mm * t.track_height_mm)
    }

    fn panels(&self, length: f64, distance: f64) -> f64 {
        (self.fineness * (length / (PANEL * distance)).ceil()).clamp(1.0, 400.0)
    }

    /// Sum over a stretch of the width, in pieces between the places where the receiver's plane leaves the strip.
    fn between(&self, s: &Strip, low: f64, high: f64) -> f64 {
        if !s.tilted || s.sideways.abs() < 1e-12 {
            return self.piece(s, low, high);
        }
        let leaves = |end: f64| {
            let place = s.across - (s.ahead * s.floor + s.rise * (end - s.up)) / s.sideways;
            place.clamp(low, high)
        };
        let (a, b) = (leaves(s.foot), leaves(s.head));
        let cuts = [low, a.min(b), a.max(b), high];
        cuts.windows(2).filter(|w| w[1] > w[0]).map(|w| self.piece(s, w[0], w[1])).sum()
    }

    fn piece(&self, s: &Strip, low: f64, high: f64) -> f64 {
        let panels = self.panels(high - low, s.floor);
        let length = (high - low) / panels;
        let n = self.target.emission;
        let whole = (n - n.round()).abs() <= 0.0;
        let ahead_n = power(s.floor, n);
        let mut sum = 0.0;
        let mut panel = 0.0;
        while panel < panels {
            for (share, weight) in self.nodes {
                let x = low + (panel + share) * length - s.across;
                let lit = s.ahead * s.floor + s.sideways * x;
                // Heights above the receiver at which its plane is passed.
                let (mut foot, mut head) = (s.foot - s.up, s.head - s.up);
                if s.tilted {
                    let edge = -lit / s.rise;
                    if s.rise > 0.0 { foot = foot.max(edge) } else { head = head.min(edge) }
                } else if lit <= 0.0 {
                    continue;
                }
                if foot < head {
                    let near = s.floor * s.floor + x * x;
                    sum += weight * length * self.upward(lit, s.rise, near, [foot, head], whole);
                }
            }
            panel += 1.0;
        }
        sum * ahead_n
    }

    /// Sum over the height at one place of the width: (lit + rise z) / (near + z^2)^((n + 3) / 2).
    fn upward(&self, lit: f64, rise: f64, near: f64, [foot, head]: [f64; 2], whole: bool) -> f64 {
        let panels = self.panels(head - foot, near.sqrt());
        let length = (head - foot) / panels;
        let n = self.target.emission;
        let mut sum = 0.0;
        let mut panel = 0.0;
        while panel < panels {
            for (share, weight) in self.nodes {
                let z = foot + (panel + share) * length;
                let square = near + z * z;
                let under = if (n - 1.0).abs() <= 0.0 {
                    square * square
                } else if whole {
                    power(square.sqrt(), n + 3.0)
                } else {
                    libm::pow(square, 0.5 * (n + 3.0))
                };
                sum += weight * (lit + rise * z) / under;
            }
            panel += 1.0;
        }
        sum * length
    }
}

/// One target before one receiver.
#[derive(Debug, Clone, Copy)]
struct Strip {
    /// From the receiver to the plane of the floor, mm.
    floor: f64,
    /// The receiver across, mm from the middle of the target.
    across: f64,
    /// The receiver above the middle of the target, mm.
    up: f64,
    /// Its normal: towards the plane, across, up.
    ahead: f64,
    sideways: f64,
    rise: f64,
    /// Lowest and highest of the floor that is seen, mm above the middle of the target.
    foot: f64,
    head: f64,
    /// Whether `rise` is not 0.
    tilted: bool,
}

/// Tangents of the directions, from that straight ahead, between which a round body at (`ahead`, `across`) hides what is
/// before; `None`: nothing of it.
fn hides(ahead: f64, across: f64, radius: f64) -> Option<[f64; 2]> {
    let away = libm::hypot(ahead, across);
    if radius <= 0.0 || away <= 1e-9 {
        return None;
    }
    let sin = (radius / away).min(1.0);
    let cos = (1.0 - sin * sin).sqrt();
    // The direction of its axis, turned to either side until it grazes.
    let low = [ahead * cos + across * sin, across * cos - ahead * sin];
    let high = [ahead * cos - across * sin, across * cos + ahead * sin];
    let tangent = |d: [f64; 2]| d[1] / d[0];
    match (low[0] > 0.0, high[0] > 0.0) {
        (true, true) => Some([tangent(low), tangent(high)]),
        (true, false) => Some([tangent(low), f64::INFINITY]),
        (false, true) => Some([f64::NEG_INFINITY, tangent(high)]),
        (false, false) if ahead > 0.0 => Some([f64::NEG_INFINITY, f64::INFINITY]),
        (false, false) => None,
    }
}
