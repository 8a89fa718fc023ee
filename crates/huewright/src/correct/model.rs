//! What the witnesses of a load should show, and what they would show if something had gone otherwise.

use super::causes::{M3, READING_SD, V3, add, covariance, diagonal, minus};
use crate::chamber::load::Loaded;
use crate::engine::Engine;
use crate::finish::Eye;
use crate::matching::best::made;
use crate::matching::enumerate::Candidate;
use crate::matching::flat::lab_of;
use crate::matching::odds::tables;
use crate::matching::step::{Setting, Step};
use crate::plan::Followed;
use colour::Lab;
use library::{Coater, FilmSpec, FinishFile, LoadRow, MaterialRef, Witness};

/// The oxide that a hot nitride takes on in air.
const TARNISH: &str = "titania-anodic";
/// How far the thickness in a place may lie from what the geometry tells, one standard deviation, as a share: fixtures and
/// neighbours are not modelled. Own judgement.
const PLACE_SD: f64 = 0.02;
/// Furthest that a thickness is followed, as a logarithm of its share.
const FURTHEST: f64 = 1.2;

/// What went otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Change {
    /// Logarithm of the share of the outermost film.
    pub(super) top: f64,
    /// The same of the film below it.
    pub(super) below: f64,
    /// Rise of the outermost film from the middle of the load to its top, as a share.
    pub(super) rise: f64,
    /// Shift of the composition of one step's film.
    pub(super) composition: Option<(usize, f64)>,
    /// Oxide on top, nm.
    pub(super) oxide_nm: f64,
}

/// One load, as it was ordered.
pub(super) struct Model<'m> {
    pub(super) engine: &'m Engine,
    pub(super) eye: &'m Eye<'m>,
    pub(super) candidate: &'m Candidate,
    pub(super) settings: Vec<Setting>,
    /// Share of each witness, and its height over half the load's.
    pub(super) places: Vec<(f64, Option<f64>)>,
}

/// The coater of the outermost film.
pub(super) fn coater(candidate: &Candidate) -> Option<&Coater> {
    match candidate.steps.last() {
        Some(Step::Lay { coater, .. }) => Some(coater),
        _ => None,
    }
}

impl<'m> Model<'m> {
    /// The load `row` of a recipe.
    pub(super) fn of(
        engine: &'m Engine,
        eye: &'m Eye<'m>,
        followed: &'m Followed,
        loaded: Option<&Loaded>,
        row: &LoadRow,
    ) -> Self {
        let mut settings = followed.settings.clone();
        let lays: Vec<usize> =
            (0..settings.len()).filter(|i| matches!(followed.candidate.steps[*i], Step::Lay { .. })).collect();
        // Times stand for the lay steps in order; a single one for the last.
        let skipped = lays.len().saturating_sub(row.seconds.len());
        for (i, seconds) in lays.iter().skip(skipped).zip(&row.seconds) {
            if let Step::Lay { deposit, .. } = &followed.candidate.steps[*i]
                && let Some(rate) = deposit.rate_nm_per_min
            {
                settings[*i].thickness_nm = rate * seconds / 60.0;
            }
        }
        for i in lays {
            let Step::Lay { flow: Some(flow), .. } = &followed.candidate.steps[i] else { continue };
            let key = format!("{}_sccm", flow.gas);
            let set = row.settings.iter().find(|(k, _)| *k == key);
            if let Some((composition, _)) = set.and_then(|(_, sccm)| flow.composition(*sccm)) {
                settings[i].composition = Some(composition);
            }
        }
        let places = row.witnesses.iter().map(|w| place(loaded, w)).collect();
        Self { engine, eye, candidate: &followed.candidate, settings, places }
    }

    /// The finish in a place.
    fn finish(&self, change: Change, (share, height): (f64, Option<f64>)) -> Option<FinishFile> {
        let mut settings = self.settings.clone();
        let last = settings.len().checked_sub(1)?;
        let rise = 1.0 + change.rise * height.unwrap_or(0.0);
        if rise <= 0.0 || change.top.abs() > FURTHEST || change.below.abs() > FURTHEST {
            return None;
        }
        settings[last].thickness_nm *= share * rise * libm::exp(change.top);
        if let Some(below) = last.checked_sub(1) {
            settings[below].thickness_nm *= libm::exp(change.below);
        }
        if let Some((step, shift)) = change.composition {
            let Step::Lay { range, film, usual, .. } = &self.candidate.steps[step] else { return None };
            let composition = settings[step].composition.or(film.composition).or(*usual)? + shift;
            if composition < range[0] || composition > range[1] {
                return None;
            }
            settings[step].composition = Some(composition);
        }
        let mut finish = made(self.candidate, &settings, &[])?;
        if change.oxide_nm > 0.0 {
            finish.films.push(FilmSpec {
                material: MaterialRef::Library { id: TARNISH.to_owned(), source: None },
                thickness_nm: change.oxide_nm,
                thickness_sd_nm: 0.0,
                spread: 0.0,
                porosity: 0.0,
                composition: None,
            });
        }
        Some(finish)
    }

    /// Colours of the witnesses. Many witnesses stand in few places: each place is reckoned once.
    pub(super) fn shows(&self, change: Change) -> Option<Vec<Lab>> {
        let mut known: Vec<((f64, Option<f64>), Lab)> = Vec::new();
        self.places
            .iter()
            .map(|place| {
                if let Some((_, lab)) = known.iter().find(|(at, _)| at == place) {
                    return Some(*lab);
                }
                let lab = lab_of(self.engine, self.eye, &self.finish(change, *place)?)?;
                known.push((*place, lab));
                Some(lab)
            })
            .collect()
    }

    /// The colours for amounts between, from a table: what a cause does is smooth.
    pub(super) fn table(&self, change: impl Fn(f64) -> Change, reach: f64) -> Table {
        let at = |i: i32| reach * (2.0 * f64::from(i) / f64::from(NODES - 1) - 1.0);
        Table { reach, shows: (0..NODES).map(|i| self.shows(change(at(i)))).collect() }
    }

    /// Colour of a part in the middle of the load.
    pub(super) fn middle(&self, change: Change) -> Option<Lab> {
        lab_of(self.engine, self.eye, &self.finish(change, (1.0, None))?)
    }

    /// How a load strays anyhow, by the repeatability of its machines.
    pub(super) fn scatter(&self) -> M3 {
        let Some(here) = self.middle(Change::default()) else { return diagonal(0.0) };
        let last = self.settings.len() - 1;
        let mut sum = diagonal(0.0);
        for (i, step) in self.candidate.steps.iter().enumerate() {
            let Step::Lay { deposit, .. } = step else { continue };
            let nm = self.settings[i].thickness_nm.max(1e-9);
            let own = deposit.repeatability_nm / nm;
            let share = (deposit.repeatability * deposit.repeatability + own * own).sqrt();
            let by = if i == last {
                Change { top: share, ..Change::default() }
            } else if i + 1 == last {
                Change { below: share, ..Change::default() }
            } else {
                Change::default()
            };
            let moved = Change { composition: Some((i, deposit.repeatability_composition)), ..Change::default() };
            for change in [by, moved] {
                if let Some(there) = self.middle(change) {
                    sum = add(&sum, &covariance(&[minus(there, here)], [0.0; 3]));
                }
            }
        }
        sum
    }

    /// How one witness strays from the others: its reading, and its place, which the geometry tells only nearly.
    pub(super) fn each(&self) -> M3 {
        let reading = diagonal(READING_SD * READING_SD);
        let there = self.middle(Change { top: PLACE_SD, ..Change::default() });
        match (self.middle(Change::default()), there) {
            (Some(here), Some(there)) => add(&reading, &covariance(&[minus(there, here)], [0.0; 3])),
            _ => reading,
        }
    }

    /// What is known of how far the constants are off, before any load.
    pub(super) fn constants(&self) -> M3 {
        let Some(finish) = made(self.candidate, &self.settings, &[]) else { return diagonal(0.0) };
        let Some(here) = lab_of(self.engine, self.eye, &finish) else { return diagonal(0.0) };
        let off: Vec<V3> = tables(self.engine, self.eye, &finish).iter().map(|lab| minus(*lab, here)).collect();
        covariance(&off, [0.0; 3])
    }
}

/// Nodes of a table.
const NODES: i32 = 49;

/// Colours of the witnesses against an amount, straight between nodes.
pub(super) struct Table {
    reach: f64,
    shows: Vec<Option<Vec<Lab>>>,
}

impl Table {
    pub(super) fn at(&self, amount: f64) -> Option<Vec<Lab>> {
        let x = (amount / self.reach + 1.0) * 0.5 * f64::from(NODES - 1);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "kept within the table")]
        let i = (x.max(0.0) as usize).min(self.shows.len() - 2);
        #[expect(clippy::cast_precision_loss, reason = "some tens")]
        let t = x - i as f64;
        let (a, b) = (self.shows[i].as_ref()?, self.shows[i + 1].as_ref()?);
        let mix = |a: f64, b: f64| a + t * (b - a);
        Some(a.iter().zip(b).map(|(a, b)| Lab { l: mix(a.l, b.l), a: mix(a.a, b.a), b: mix(a.b, b.b) }).collect())
    }
}

/// Share and height of a witness.
fn place(loaded: Option<&Loaded>, witness: &Witness) -> (f64, Option<f64>) {
    let Some(loaded) = loaded else { return (1.0, witness.height_mm.map(|mm| mm / HALF_LOAD_MM)) };
    let half = loaded.half_height_mm();
    if let Some(mm) = witness.height_mm {
        return (loaded.share_at(mm), (half > 0.0).then_some(mm / half));
    }
    let positions = loaded.positions();
    let named = positions.iter().find(|p| same_place(&p.name, &witness.at));
    named.map_or((1.0, None), |p| (p.share, (half > 0.0).then_some(p.height_mm / half)))
}

/// Whether a witness stood in a place of the load: by its name, or by its height where there is but one row.
fn same_place(name: &str, at: &str) -> bool {
    let at = at.trim().to_ascii_lowercase();
    name == at || name.strip_suffix(" outer").is_some_and(|height| height == at)
}

/// Whether any of the places is meant.
pub(super) fn placed(known: &[String], at: &str) -> bool {
    known.iter().any(|name| same_place(name, at))
}

/// Half the height of a load of which nothing is told, mm: own assumption, of account for the unit of a rise alone.
const HALF_LOAD_MM: f64 = 200.0;
