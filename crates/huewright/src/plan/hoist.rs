//! One lift, reckoned: the part hangs still, then leaves the bath slice by slice while the volts rise.

use super::rig::Rig;
use routes::anodising::{Course, Drive, Stop as Until, anodise as run};
use routes::cell::Zone;
use routes::lifting::Path;
use routes::supply::stacked_v;

/// Slices that a fade is reckoned in.
pub(super) const SLICES: usize = 60;
/// Places at which the volts of a lift are worked out.
const SET_POINTS: u32 = 400;
/// Error of each step in time, nm.
const TOLERANCE_NM: f64 = 1e-4;
/// How often the volts are mended so that each place gets the film that was meant.
const MENDINGS: u32 = 2;

/// What is lifted, and how.
pub(super) struct Job {
    pub(super) area_cm2: f64,
    pub(super) existing_nm: f64,
    pub(super) length_mm: f64,
    pub(super) speed_mm_per_s: f64,
    /// How long it hangs still first, s.
    pub(super) before_s: f64,
    /// Or until the current has fallen to this, A.
    pub(super) until_a: Option<f64>,
}

/// A lift that was reckoned.
pub(super) struct Hoist {
    pub(super) course: Course,
    pub(super) before_s: f64,
    /// What the supply is set to at the start.
    pub(super) first_v: f64,
    /// What it is set to at equal places from 0 to 1.
    set_v: Vec<f64>,
}

impl Hoist {
    /// What the supply is set to at a place, V.
    pub(super) fn set_v(&self, place: f64) -> f64 {
        at(&self.set_v, place)
    }

    /// Thickness of each slice, nm.
    pub(super) fn grown(&self) -> &[f64] {
        &self.course.end().thickness_nm
    }
}

/// Lifts along `path`. A lifted film is a little thinner than the volts grow in the end, and at the edge of a word that
/// matters: the volts are mended until each place of the path gets what was meant. Batteries cannot be mended.
pub(super) fn hoist(rig: &Rig<'_>, path: &Path, job: &Job) -> Hoist {
    let mut lifted = once(rig, path, job);
    if rig.supply.is_some_and(|s| s.step_v.is_some()) {
        return lifted;
    }
    #[expect(clippy::cast_precision_loss, reason = "some tens")]
    let centre = |slice: usize| (slice as f64 + 0.5) / SLICES as f64;
    let mut volts: Vec<f64> = (0..SLICES).map(|slice| path.voltage_v(centre(slice))).collect();
    for _ in 0..MENDINGS {
        let mut highest = 0.0_f64;
        for (slice, v) in volts.iter_mut().enumerate() {
            let meant = rig.film.thickness_nm(path.voltage_v(centre(slice)));
            let lacks = (meant - lifted.grown()[slice]) / rig.film.ratio_nm_per_v();
            *v = (*v + lacks).clamp(highest, rig.greatest.0);
            highest = *v;
        }
        let points = volts.iter().enumerate().map(|(slice, v)| (centre(slice), *v)).collect();
        lifted = once(rig, &Path { points }, job);
    }
    lifted
}

fn at(set_v: &[f64], place: f64) -> f64 {
    let along = place.clamp(0.0, 1.0) * f64::from(SET_POINTS);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 400")]
    let below = along.floor().min(f64::from(SET_POINTS - 1)) as usize;
    #[expect(clippy::cast_precision_loss, reason = "some hundreds")]
    let share = along - below as f64;
    set_v[below] + share * (set_v[below + 1] - set_v[below])
}

fn once(rig: &Rig<'_>, path: &Path, job: &Job) -> Hoist {
    #[expect(clippy::cast_precision_loss, reason = "some tens")]
    let count = SLICES as f64;
    let step_v = rig.supply.and_then(|s| s.step_v);
    let given = |volts: f64| step_v.map_or(volts.min(rig.greatest.0), |s| stacked_v(volts, s, rig.greatest.0));
    // Ahead by what bath and leads take, so that the film sees the volts of the path; they never fall, also where the path
    // grows flatter and less lead is needed.
    let mut highest = 0.0_f64;
    let set_v: Vec<f64> = (0..=SET_POINTS)
        .map(|i| {
            let place = f64::from(i) / f64::from(SET_POINTS);
            let lead = path.lead_v(&rig.film, &rig.cell, job.area_cm2, place, job.speed_mm_per_s / job.length_mm);
            highest = highest.max(path.voltage_v(place) + lead);
            given(highest)
        })
        .collect();
    let first_v = given(path.voltage_v(0.0));
    let zones = vec![Zone { area_cm2: job.area_cm2 / count, thickness_nm: job.existing_nm }; SLICES];
    let still = Drive { voltage_v: &|_| first_v, immersed: &|_, _| 1.0, longest_s: f64::INFINITY };
    let hanging = Until { after_s: job.before_s, current_a: job.until_a.map(|a| (a, 0.0)), thickness_nm: None };
    let hung = run(&rig.film, &rig.cell, &zones, &still, hanging, TOLERANCE_NM);
    let before_s = hung.end().time_s;
    let zones: Vec<Zone> =
        zones.iter().zip(&hung.end().thickness_nm).map(|(z, nm)| Zone { thickness_nm: *nm, ..*z }).collect();
    let seconds = job.length_mm / job.speed_mm_per_s;
    let out = |t: f64| (t / seconds).clamp(0.0, 1.0);
    let drive = Drive {
        voltage_v: &|t| at(&set_v, out(t)),
        #[expect(clippy::cast_precision_loss, reason = "some tens")]
        immersed: &|slice, t| 1.0 - (out(t) * count - slice as f64),
        longest_s: seconds / count,
    };
    let until = Until { after_s: seconds, current_a: None, thickness_nm: None };
    let course = hung.then(run(&rig.film, &rig.cell, &zones, &drive, until, TOLERANCE_NM));
    Hoist { course, before_s, first_v, set_v }
}
