//! Anodising through time: zones of one part under one supply, bath and programme of volts.

use crate::cell::{Cell, Zone};
use crate::field::HighField;
use crate::integrate::{next_length, step};

/// What is done to the cell.
pub struct Drive<'d> {
    /// What the supply is set to at a time (s), V.
    pub voltage_v: &'d dyn Fn(f64) -> f64,
    /// The share of a zone that is under the liquid at a time, 0..=1.
    pub immersed: &'d dyn Fn(usize, f64) -> f64,
    /// Longest step in time, s.
    pub longest_s: f64,
}

/// When to stop; whatever comes first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// After this long, s.
    pub after_s: f64,
    /// When the current has fallen to this, A, at a time when the programme stands still (after this many s).
    pub current_a: Option<(f64, f64)>,
    /// When a zone is this thick, nm.
    pub thickness_nm: Option<(usize, f64)>,
}

/// Why it stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stopped {
    /// Time was up.
    Time,
    /// The current had fallen.
    Current,
    /// The film was thick enough.
    Thickness,
}

/// One moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// s from the start.
    pub time_s: f64,
    /// What the supply is set to, V.
    pub set_v: f64,
    /// Volts at the terminals: as set, or less while the supply gives all it can.
    pub cell_v: f64,
    /// Volts over the film.
    pub film_v: f64,
    /// A.
    pub current_a: f64,
    /// Whether the supply gives all it can.
    pub limited: bool,
    /// C since the start.
    pub charge_c: f64,
    /// Thickness of each zone, nm.
    pub thickness_nm: Vec<f64>,
}

/// What happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// From the start to the end, at least two.
    pub moments: Vec<Moment>,
    /// Why it ended.
    pub stopped: Stopped,
}

/// Finest time that is told apart, s.
const FINEST_S: f64 = 1e-4;

/// Runs the cell. `tolerance_nm` bounds the error of each step in time in each thickness.
///
/// Thickness grows with the charge that flows through each zone; the charge is summed from the total current, on its
/// own.
pub fn anodise(
    film: &HighField,
    cell: &Cell,
    zones: &[Zone],
    drive: &Drive<'_>,
    stop: Stop,
    tolerance_nm: f64,
) -> Course {
    let area: f64 = zones.iter().map(|z| z.area_cm2).sum();
    // The charge rides along as thickness of the whole part, so that one tolerance serves.
    let per_nm = area.max(f64::MIN_POSITIVE) * film.oxide.coulomb_per_cm2_nm();
    let guess = std::cell::Cell::new(0.0);
    let balance = |t: f64, y: &[f64]| {
        let wet: Vec<(f64, f64)> = zones
            .iter()
            .enumerate()
            .map(|(i, z)| (z.area_cm2 * (drive.immersed)(i, t).clamp(0.0, 1.0), y[i]))
            .filter(|(area, _)| *area > 0.0)
            .collect();
        let b = cell.balance(film, &wet, (drive.voltage_v)(t), guess.get());
        guess.set(b.film_v);
        b
    };
    let mut rate = |t: f64, y: &[f64], dy: &mut [f64]| {
        let b = balance(t, y);
        for (i, slope) in dy.iter_mut().take(zones.len()).enumerate() {
            let wet = (drive.immersed)(i, t).clamp(0.0, 1.0);
            *slope = if wet > 0.0 { wet * film.rate_nm_per_s(film.current_a_per_cm2(y[i], b.film_v).0) } else { 0.0 };
        }
        dy[zones.len()] = b.current_a / per_nm;
    };
    let moment = |t: f64, y: &[f64]| {
        let b = balance(t, y);
        Moment {
            time_s: t,
            set_v: (drive.voltage_v)(t),
            cell_v: b.cell_v,
            film_v: b.film_v,
            current_a: b.current_a,
            limited: b.limited,
            charge_c: y[zones.len()] * per_nm,
            thickness_nm: y[..zones.len()].to_vec(),
        }
    };
    let reached = |m: &Moment| {
        if stop.thickness_nm.is_some_and(|(zone, nm)| m.thickness_nm[zone] >= nm) {
            Some(Stopped::Thickness)
        } else if stop.current_a.is_some_and(|(a, from_s)| m.time_s >= from_s && m.current_a <= a) {
            Some(Stopped::Current)
        } else {
            None
        }
    };
    // A film below its offset is the native one: the law starts there.
    let mut y: Vec<f64> = zones.iter().map(|z| z.thickness_nm.max(film.law.offset_nm)).collect();
    y.push(0.0);
    let (mut t, mut h) = (0.0, FINEST_S);
    let mut moments = vec![moment(t, &y)];
    if let Some(why) = reached(&moments[0]) {
        moments.push(moments[0].clone());
        return Course { moments, stopped: why };
    }
    while t < stop.after_s {
        let length = h.min(drive.longest_s).min(stop.after_s - t);
        let (next, error) = step(t, &y, length, tolerance_nm, &mut rate);
        if error > 1.0 && length > 1e-9 {
            h = next_length(length, error);
            continue;
        }
        let m = moment(t + length, &next);
        let why = reached(&m);
        if why.is_some() && length > FINEST_S {
            h = 0.5 * length;
            continue;
        }
        (t, y) = (t + length, next);
        moments.push(m);
        if let Some(why) = why {
            return Course { moments, stopped: why };
        }
        h = next_length(length, error);
        if stop.after_s - t < 1e-9 {
            break;
        }
    }
    if moments.len() < 2 {
        moments.push(moments[0].clone());
    }
    Course { moments, stopped: Stopped::Time }
}

impl Course {
    /// What follows, as the same course: times and charges go on.
    pub fn then(mut self, next: Self) -> Self {
        let (at, before) = (self.end().time_s, self.end().charge_c);
        self.moments.extend(next.moments.into_iter().skip(1).map(|m| Moment {
            time_s: m.time_s + at,
            charge_c: m.charge_c + before,
            ..m
        }));
        self.stopped = next.stopped;
        self
    }

    /// The last moment.
    pub fn end(&self) -> &Moment {
        // Made with at least two.
        &self.moments[self.moments.len() - 1]
    }

    /// Greatest current, A.
    pub fn peak_a(&self) -> f64 {
        self.moments.iter().map(|m| m.current_a).fold(0.0, f64::max)
    }

    /// Energy from the supply, J: the sum of volts at its terminals times charge.
    pub fn energy_j(&self) -> f64 {
        self.moments.windows(2).map(|w| 0.5 * (w[0].cell_v + w[1].cell_v) * (w[1].charge_c - w[0].charge_c)).sum()
    }
}

#[cfg(test)]
#[path = "anodising_tests.rs"]
mod tests;
