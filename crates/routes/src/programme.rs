//! Heat through a programme: ramps, holds and cooling, and the oxide that grows on the way.

use crate::Draw;
use crate::heat::Heat;

/// A stretch of a programme.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Leg {
    /// Steadily to a temperature.
    Ramp {
        /// C.
        to_c: f64,
        /// s.
        seconds: f64,
    },
    /// At the temperature reached.
    Hold {
        /// s.
        seconds: f64,
    },
    /// Cooling to the room: T = T_room + (T - T_room) exp(-t / tau).
    Cool {
        /// Temperature of the room, C.
        room_c: f64,
        /// tau, s.
        constant_s: f64,
        /// s.
        seconds: f64,
    },
}

impl Leg {
    fn seconds(&self) -> f64 {
        match self {
            Self::Ramp { seconds, .. } | Self::Hold { seconds } | Self::Cool { seconds, .. } => *seconds,
        }
    }

    /// Temperature `t` seconds into the leg that began at `from_c`.
    fn at(&self, from_c: f64, t: f64) -> f64 {
        match self {
            Self::Hold { .. } => from_c,
            Self::Ramp { to_c, seconds } => {
                if *seconds > 0.0 {
                    from_c + (to_c - from_c) * (t / seconds).min(1.0)
                } else {
                    *to_c
                }
            }
            Self::Cool { room_c, constant_s, .. } => room_c + (from_c - room_c) * libm::exp(-t / constant_s),
        }
    }
}

/// A programme of heat.
#[derive(Debug, Clone, PartialEq)]
pub struct Programme {
    /// Where it begins, C.
    pub from_c: f64,
    /// Its stretches.
    pub legs: Vec<Leg>,
}

/// One moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Warm {
    /// s from the start.
    pub time_s: f64,
    /// C.
    pub temperature_c: f64,
    /// Of the oxide, nm.
    pub thickness_nm: f64,
}

/// Nodes and weights of Gauss and Legendre on 0..1, four points (exact to degree 7).
const NODES: [(f64, f64); 4] = [
    (0.069_431_844_202_973_71, 0.173_927_422_568_726_93),
    (0.330_009_478_207_571_87, 0.326_072_577_431_273_07),
    (0.669_990_521_792_428_1, 0.326_072_577_431_273_07),
    (0.930_568_155_797_026_3, 0.173_927_422_568_726_93),
];

/// The part of a piece from `begin` to `end` in which `inside` holds; it changes at most once there.
fn counted(inside: impl Fn(f64) -> bool, begin: f64, end: f64) -> (f64, f64) {
    let (first, last) = (inside(begin), inside(end));
    if first == last {
        return if first { (begin, end) } else { (begin, begin) };
    }
    let (mut low, mut high) = (begin, end);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if inside(middle) == first { low = middle } else { high = middle }
    }
    if first { (begin, low) } else { (high, end) }
}

impl Programme {
    /// How long it takes, s.
    pub fn seconds(&self) -> f64 {
        self.legs.iter().map(Leg::seconds).sum()
    }

    /// Temperature at a time, C.
    pub fn temperature_c(&self, time_s: f64) -> f64 {
        let (mut from, mut begun) = (self.from_c, 0.0);
        for leg in &self.legs {
            let length = leg.seconds();
            if time_s < begun + length {
                return leg.at(from, time_s - begun);
            }
            from = leg.at(from, length);
            begun += length;
        }
        from
    }

    /// Hottest temperature, C.
    pub fn hottest_c(&self) -> f64 {
        let (mut from, mut hottest) = (self.from_c, self.from_c);
        for leg in &self.legs {
            from = leg.at(from, leg.seconds());
            hottest = hottest.max(from);
        }
        hottest
    }

    /// The oxide through the programme on `existing_nm`: d^2 = d0^2 + integral of k(T(t)) dt, by Gauss and Legendre over
    /// `points` pieces of each leg. Below `from_law_c` the law is not carried, and no growth is counted.
    pub fn course(&self, law: &Heat, from_law_c: f64, existing_nm: f64, draw: Draw, points: u32) -> Vec<Warm> {
        let known_within = libm::exp(0.5 * draw.constant[0] * libm::log(law.factor));
        let off = draw.run * law.repeatability_c;
        let rate = |temperature: f64| {
            if temperature < from_law_c {
                0.0
            } else {
                known_within * known_within * law.rate_nm2_per_s(temperature + off)
            }
        };
        let mut square = existing_nm * existing_nm;
        let (mut from, mut begun) = (self.from_c, 0.0);
        let mut course = vec![Warm { time_s: 0.0, temperature_c: from, thickness_nm: existing_nm }];
        for leg in &self.legs {
            let piece = leg.seconds() / f64::from(points);
            for i in 0..points {
                let at = f64::from(i) * piece;
                let (begin, end) = counted(|t| leg.at(from, t) >= from_law_c, at, at + piece);
                let width = end - begin;
                square += width * NODES.iter().map(|(x, w)| w * rate(leg.at(from, begin + x * width))).sum::<f64>();
                course.push(Warm {
                    time_s: begun + at + piece,
                    temperature_c: leg.at(from, at + piece),
                    thickness_nm: square.sqrt(),
                });
            }
            begun += leg.seconds();
            from = leg.at(from, leg.seconds());
        }
        course
    }

    /// Minutes at the hottest temperature that would grow as much.
    pub fn equal_minutes(&self, law: &Heat, from_law_c: f64) -> f64 {
        let grown = self.course(law, from_law_c, 0.0, Draw::default(), 60);
        let nm = grown.last().map_or(0.0, |w| w.thickness_nm);
        nm * nm / law.rate_nm2_per_s(self.hottest_c()) / 60.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn law() -> Heat {
        // Ti-6Al-4V through two points of Vera et al. (2015), Table 1: oxide-growth.md R07.
        Heat { activation_kj_per_mol: 87.2, k0_nm2_per_s: 1.139e5, factor: 3.0, consumed: 0.505, repeatability_c: 0.0 }
    }

    #[test]
    fn the_rate_between_the_two_points_is_as_derived() {
        // oxide-growth.md section 6, row 19: kp(600) / kp(500) = 4.73.
        assert!((law().rate_nm2_per_s(600.0) / law().rate_nm2_per_s(500.0) / 4.73 - 1.0).abs() < 0.01);
    }

    #[test]
    fn a_hold_alone_is_the_law() {
        let programme = Programme { from_c: 550.0, legs: vec![Leg::Hold { seconds: 3600.0 }] };
        let end = programme.course(&law(), 0.0, 7.0, Draw::default(), 3).last().copied().unwrap();
        assert!((end.thickness_nm - law().grow(550.0, 60.0, 7.0, Draw::default()).thickness_nm).abs() < 1e-9);
        assert!((programme.equal_minutes(&law(), 0.0) - 60.0).abs() < 1e-9);
    }

    #[test]
    fn halving_the_pieces_changes_nothing() {
        let programme = Programme {
            from_c: 20.0,
            legs: vec![
                Leg::Ramp { to_c: 560.0, seconds: 3240.0 },
                Leg::Hold { seconds: 1800.0 },
                Leg::Cool { room_c: 20.0, constant_s: 600.0, seconds: 1800.0 },
            ],
        };
        let nm = |points| programme.course(&law(), 0.0, 0.0, Draw::default(), points).last().unwrap().thickness_nm;
        assert!((nm(40) - nm(80)).abs() < 1e-6, "{} {}", nm(40), nm(80));
        assert!((programme.temperature_c(3240.0 + 100.0) - 560.0).abs() < 1e-9);
        assert!((programme.hottest_c() - 560.0).abs() < 1e-9);
    }
}
