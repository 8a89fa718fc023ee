//! The best fit and all that are about as good: simplices from fixed beginnings, then a swarm that stays within a bound.

use super::{BELIEVED, Loop, Point, READING_V};

/// A fit that is about as good as the best, and its turning flows.
type Member = (Point, Option<[f64; 2]>);

/// What was found.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) best: Point,
    /// Turning flows of each fit that is about as good, the best among them; `None`: that one does not jump.
    pub(super) turns: Vec<Option<[f64; 2]>>,
}

/// A closed generator for the swarm (xorshift with a multiplication, 64 bits): the same numbers on every run.
struct Chance(u64);

impl Chance {
    /// Even in 0..1.
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        #[expect(clippy::cast_precision_loss, reason = "53 bits")]
        let bits = (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64;
        bits / 9_007_199_254_740_992.0
    }

    fn below(&mut self, count: usize) -> usize {
        #[expect(
            clippy::cast_precision_loss,
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "small"
        )]
        let i = (self.next() * count as f64) as usize;
        i.min(count - 1)
    }
}

const BEGINNINGS: u32 = 700;
const SIMPLICES: usize = 8;
const WALKERS: usize = 24;
const ROUNDS: usize = 260;

/// Student's factor for 95 % on both sides, from the expansion of Cornish and Fisher; too small below 3 degrees.
fn student(degrees: f64) -> f64 {
    1.96 + 2.372 / degrees + 2.823 / (degrees * degrees) + 2.556 / (degrees * degrees * degrees)
}

/// The most that a sum of squares may be to count as about as good.
fn bound(data: &Loop, least: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "some tens of readings")]
    let count = data.readings.len() as f64;
    let degrees = (count - 6.0).max(1.0);
    let variance = (least / degrees).max(READING_V * READING_V);
    let t = student(degrees);
    // Of readings that are better than the meter the rest of its scatter is open too.
    least.max(0.0) + variance * t * t
}

pub(super) fn hunt(data: &Loop) -> Found {
    let value = |p: &Point| data.judge(p).squares;
    let mut starts: Vec<(f64, Point)> = beginnings(data).into_iter().map(|p| (value(&p), p)).collect();
    starts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut ends: Vec<(f64, Point)> = apart(&starts).into_iter().map(|p| simplex(&value, p, 0.25, 240)).collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut best = simplex(&value, ends[0].1, 0.1, 400);
    let mut chance = Chance(0x9E37_79B9_7F4A_7C15);
    let mut turns = Vec::new();
    // A swarm that meets something better begins anew about it.
    for _ in 0..4 {
        let limit = bound(data, best.0);
        let (members, better) = swarm(data, best, &ends, limit, &mut chance);
        turns = members;
        if better.0 >= best.0 - 0.02 * (limit - best.0) {
            if better.0 < best.0 {
                best = better;
            }
            break;
        }
        best = simplex(&value, better.1, 0.1, 400);
    }
    turns.push((best.1, data.turns(&best.1)));
    let limit = bound(data, best.0);
    for (which, sign) in [(0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0)] {
        edge(data, limit, which, sign, &mut turns);
    }
    Found { best: best.1, turns: turns.into_iter().map(|(_, turns)| turns).collect() }
}

/// Pushes one turning flow as far up (`sign` 1) or down (-1) as the bound lets it, from the furthest that was met.
fn edge(data: &Loop, limit: f64, which: usize, sign: f64, turns: &mut Vec<Member>) {
    let short = |turns: &Option<[f64; 2]>| turns.map_or(f64::INFINITY, |t| -sign * t[which]);
    let mut size = 0.1;
    for _ in 0..3 {
        let Some((from, turned)) = turns.iter().min_by(|a, b| short(&a.1).total_cmp(&short(&b.1))).copied() else {
            return;
        };
        let value = |p: &Point| if data.judge(p).squares <= limit { short(&data.turns(p)) } else { f64::INFINITY };
        let (reached, place) = simplex(&value, from, size, 120);
        if reached < short(&turned) {
            turns.push((place, data.turns(&place)));
        } else {
            size *= 0.2;
        }
    }
}

/// Points spread evenly (Halton) over beta, kappa and sigma, each with its top put where the volts jump most.
fn beginnings(data: &Loop) -> Vec<Point> {
    let halton = |mut i: u32, base: u32| {
        let (mut share, mut sum) = (1.0, 0.0);
        while i > 0 {
            share /= f64::from(base);
            sum += share * f64::from(i % base);
            i /= base;
        }
        sum
    };
    let within = |share: f64, low: f64, high: f64| libm::log(low) + share * (libm::log(high) - libm::log(low));
    let jump = jump(data) / data.most_flow();
    (1..=BEGINNINGS)
        .map(|i| {
            let p = [
                0.0,
                within(halton(i, 2), 0.03, 0.8),
                within(halton(i, 3), 0.6, 300.0),
                within(halton(i, 5), 0.02, 300.0),
            ];
            let shape = data.shape(&p);
            let top = shape.turning().map_or_else(|| shape.flow(1.0), |[top, _]| shape.flow(top));
            let scale = jump / top * (0.85 + 0.3 * halton(i, 7));
            let [low, high] = BELIEVED[0];
            [libm::log(scale.clamp(low, high)), p[1], p[2], p[3]]
        })
        .collect()
}

/// Flow between the readings, with the flow rising, over which the volts change most.
fn jump(data: &Loop) -> f64 {
    let mut rising: Vec<(f64, f64)> = data.readings.iter().filter(|r| r.risen).map(|r| (r.flow, r.volts)).collect();
    rising.sort_by(|a, b| a.0.total_cmp(&b.0));
    let steps = rising.windows(2).map(|w| (0.5 * (w[0].0 + w[1].0), (w[1].1 - w[0].1).abs()));
    steps.fold((rising[0].0, 0.0), |best, step| if step.1 > best.1 { step } else { best }).0
}

/// The best beginnings that are not all of one valley.
fn apart(starts: &[(f64, Point)]) -> Vec<Point> {
    let mut chosen: Vec<Point> = vec![starts[0].1];
    for (value, p) in starts {
        let near = |q: &Point| q.iter().zip(p).map(|(a, b)| (a - b) * (a - b)).sum::<f64>() < 0.5;
        if value.is_finite() && !chosen.iter().any(near) {
            chosen.push(*p);
        }
        if chosen.len() == SIMPLICES {
            break;
        }
    }
    chosen
}

/// J. A. Nelder and R. Mead, Comput. J. 7, 308 (1965), with their usual factors: value and place of the least that was
/// met. It asks for no slopes, for the loop has jumps.
fn simplex(value: &impl Fn(&Point) -> f64, from: Point, size: f64, most: usize) -> (f64, Point) {
    let mut corners: Vec<(f64, Point)> = vec![(value(&from), from)];
    for i in 0..4 {
        let mut p = from;
        p[i] += size;
        corners.push((value(&p), p));
    }
    let mut asked = 5;
    while asked < most {
        corners.sort_by(|a, b| a.0.total_cmp(&b.0));
        if corners[4].0 - corners[0].0 <= 1e-9 * (corners[0].0 + 1e-6) {
            break;
        }
        let mut middle = [0.0; 4];
        for (_, p) in &corners[..4] {
            for (m, v) in middle.iter_mut().zip(p) {
                *m += 0.25 * v;
            }
        }
        let worst = corners[4];
        let along = |factor: f64| {
            let mut p = middle;
            for (v, w) in p.iter_mut().zip(&worst.1) {
                *v += factor * (*v - w);
            }
            (value(&p), p)
        };
        let mirrored = along(1.0);
        asked += 1;
        if mirrored.0 < corners[0].0 {
            let further = along(2.0);
            asked += 1;
            corners[4] = if further.0 < mirrored.0 { further } else { mirrored };
        } else if mirrored.0 < corners[3].0 {
            corners[4] = mirrored;
        } else {
            let nearer = if mirrored.0 < worst.0 { along(0.5) } else { along(-0.5) };
            asked += 1;
            if nearer.0 < worst.0.min(mirrored.0) {
                corners[4] = nearer;
            } else {
                let first = corners[0].1;
                for corner in &mut corners[1..] {
                    for (v, f) in corner.1.iter_mut().zip(&first) {
                        *v = 0.5 * (*v + f);
                    }
                    corner.0 = value(&corner.1);
                }
                asked += 4;
            }
        }
    }
    corners.sort_by(|a, b| a.0.total_cmp(&b.0));
    corners[0]
}

/// Walks within the bound by stretches between walkers (J. Goodman and J. Weare, Commun. Appl. Math. Comput. Sci. 5, 65
/// (2010), with every place within the bound alike): turning flows of all places met, and the best of them.
fn swarm(
    data: &Loop,
    best: (f64, Point),
    ends: &[(f64, Point)],
    limit: f64,
    chance: &mut Chance,
) -> (Vec<Member>, (f64, Point)) {
    let mut walkers: Vec<Point> = ends.iter().filter(|e| e.0 <= limit).map(|e| e.1).take(WALKERS / 2).collect();
    walkers.push(best.1);
    // Around the best, nearer with each refusal.
    let mut size = 0.3;
    for _ in 0..4000 {
        if walkers.len() == WALKERS {
            break;
        }
        let from = walkers[chance.below(walkers.len())];
        let p = from.map(|v| v + size * (2.0 * chance.next() - 1.0));
        if data.judge(&p).squares <= limit {
            walkers.push(p);
        } else {
            size = (0.95 * size).max(1e-6);
        }
    }
    walkers.resize(WALKERS, best.1);
    let mut met: Vec<Member> = walkers.iter().map(|p| (*p, data.turns(p))).collect();
    let mut top = best;
    for _ in 0..ROUNDS {
        for i in 0..walkers.len() {
            let other = (i + 1 + chance.below(walkers.len() - 1)) % walkers.len();
            // Density 1/sqrt(z) between 1/2 and 2.
            let root = (0.5_f64).sqrt() + chance.next() * (2.0_f64.sqrt() - 0.5_f64.sqrt());
            let z = root * root;
            let mut p = walkers[other];
            for (v, w) in p.iter_mut().zip(&walkers[i]) {
                *v += z * (*w - *v);
            }
            // The volume that a stretch wins or loses in four dimensions: z^3.
            if chance.next() > z * z * z {
                continue;
            }
            let squares = data.judge(&p).squares;
            if squares <= limit {
                walkers[i] = p;
                met.push((p, data.turns(&p)));
                if squares < top.0 {
                    top = (squares, p);
                }
            }
        }
    }
    (met, top)
}
