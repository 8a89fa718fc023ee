//! Thickness over the load: places in it, places on the part, and targets as they wear.

use super::answer::{ChamberPicture, LoadJson, PlaceJson, TargetPicture, Worn};
use super::facets::{facets, front};
use crate::engine::Engine;
use crate::finish::Eye;
use crate::json::lab_array;
use crate::matching::flat::lab_of;
use colour::{Lab, ciede2000};
use library::{Coater, Extent, FinishFile};
use routes::carousel::{Carousel, Chamber, Facet, Place, Target};
use routes::turns::spread;

/// Points through one turn of the table.
const TURN_POINTS: u32 = 180;
/// Depth of a track that is worn out, mm: own assumption, some half of a usual target. Said where it is used.
const WORN_MM: f64 = 5.0;

/// A coater's chamber, with the place that its rate is told for.
#[derive(Debug, Clone)]
pub(crate) struct Loaded {
    chamber: Chamber,
    height_mm: f64,
    inner_mm: f64,
    /// Arriving at the reference: front of a part in the middle, outermost row.
    reference: f64,
}

/// A place in the load.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Position {
    pub(crate) name: String,
    pub(crate) height_mm: f64,
    pub(crate) share: f64,
}

impl Loaded {
    /// The chamber of a coater, where it tells its load and its targets.
    pub(crate) fn of(coater: &Coater) -> Option<Self> {
        Self::with_groove(coater, None)
    }

    fn with_groove(coater: &Coater, groove_mm: Option<f64>) -> Option<Self> {
        let load = coater.load.as_ref()?;
        if coater.targets.is_empty() {
            return None;
        }
        let targets = coater
            .targets
            .iter()
            .map(|t| Target {
                bearing_deg: t.bearing_deg,
                axis_mm: t.axis_mm,
                track_height_mm: t.track_height_mm,
                track_width_mm: t.track_width_mm,
                emission: t.emission,
                centre_mm: t.centre_mm,
                groove_mm: groove_mm.unwrap_or(t.groove_mm),
            })
            .collect();
        let satellite_mm = load.satellite_radius_mm.unwrap_or(0.0);
        let carousel = Carousel {
            rotation: load.rotation,
            rpm: load.rpm.unwrap_or(0.0),
            table_mm: load.table_radius_mm,
            satellites: load.satellites,
            satellite_mm,
            satellite_ratio: load.satellite_ratio,
            pin_ratio: load.pin_ratio,
            shade_mm: satellite_mm,
        };
        let mut loaded = Self {
            chamber: Chamber { targets, carousel },
            height_mm: load.height_mm,
            inner_mm: load.inner_mm,
            reference: 1.0,
        };
        loaded.reference = loaded.chamber.mean(place(0.0, 0.0), front());
        (loaded.reference > 0.0).then_some(loaded)
    }

    /// Rate at a height, on the outermost row, over the rate in the middle.
    pub(crate) fn share_at(&self, height_mm: f64) -> f64 {
        self.chamber.mean(place(height_mm, 0.0), front()) / self.reference
    }

    /// Half the height of the load, mm.
    pub(crate) fn half_height_mm(&self) -> f64 {
        0.5 * self.height_mm
    }

    /// How far parts that begin elsewhere on the table differ after so many turns, as a share of the mean.
    pub(crate) fn spread(&self, turns: f64) -> f64 {
        let [least, most] = spread(&self.chamber, place(0.0, 0.0), front(), turns);
        most - least
    }

    /// Top, middle and bottom, of the outermost row and the innermost.
    pub(crate) fn positions(&self) -> Vec<Position> {
        let heights: &[(&str, f64)] =
            if self.height_mm > 0.0 { &[("top", 0.5), ("middle", 0.0), ("bottom", -0.5)] } else { &[("middle", 0.0)] };
        let rows: &[(&str, f64)] = if self.inner_mm > 0.0 { &[(" outer", 0.0), (" inner", 1.0)] } else { &[("", 0.0)] };
        let mut list = Vec::new();
        for (row, inward) in rows {
            for (height, part) in heights {
                let height_mm = part * self.height_mm;
                let arriving = self.chamber.mean(place(height_mm, inward * self.inner_mm), front());
                list.push(Position { name: format!("{height}{row}"), height_mm, share: arriving / self.reference });
            }
        }
        list
    }

    /// Places on a part in the middle of the load, by name, with their shares.
    pub(crate) fn on_part(&self, extent: Option<&Extent>) -> Vec<(&'static str, f64)> {
        let share = |f: &Facet| self.chamber.mean(place(0.0, 0.0), *f) / self.reference;
        facets(extent).iter().map(|(name, f)| (*name, share(f))).collect()
    }

    fn picture(&self, rate: f64, layer: f64) -> ChamberPicture {
        let carousel = &self.chamber.carousel;
        let turn = self.chamber.turn(place(0.0, 0.0), front(), TURN_POINTS);
        // The turn ends where it began: so many trapezoids as there are steps between its points.
        let mut laid = 0.0;
        #[expect(clippy::cast_precision_loss, reason = "180 points")]
        let each = layer / (turn.len() - 1) as f64;
        let between = |i: usize| i.checked_sub(1).map_or(0.0, |before| 0.5 * (turn[before].1 + turn[i].1));
        let around = |bearing: f64, radius: f64| {
            let angle = bearing.to_radians();
            [radius * libm::cos(angle), radius * libm::sin(angle)]
        };
        ChamberPicture {
            table_mm: carousel.table_mm,
            satellite_mm: if carousel.rotation >= 2 { carousel.satellite_mm } else { 0.0 },
            satellites: if carousel.rotation >= 2 { carousel.satellites_mm(0.0) } else { Vec::new() },
            targets: self
                .chamber
                .targets
                .iter()
                .map(|t| {
                    let [x_mm, y_mm] = around(t.bearing_deg, t.axis_mm);
                    TargetPicture { x_mm, y_mm, bearing_deg: t.bearing_deg, width_mm: t.track_width_mm }
                })
                .collect(),
            path_mm: turn
                .iter()
                .map(|(deg, _)| carousel.at_mm(carousel.angles_deg(deg / 360.0), place(0.0, 0.0)))
                .collect(),
            turn_deg: turn.iter().map(|(deg, _)| *deg).collect(),
            rate_nm_per_min: turn.iter().map(|(_, now)| rate * now / self.reference).collect(),
            laid_nm: (0..turn.len())
                .map(|i| {
                    laid += each * between(i) / self.reference;
                    laid
                })
                .collect(),
        }
    }
}

fn place(height_mm: f64, inward_mm: f64) -> Place {
    Place { height_mm, around_deg: 0.0, inward_mm }
}

/// What is known of the film that the load gets.
pub(crate) struct Laid<'l> {
    pub(crate) engine: &'l Engine,
    pub(crate) eye: &'l Eye<'l>,
    pub(crate) coater: &'l Coater,
    pub(crate) extent: Option<&'l Extent>,
    /// The finish for so many times the ordered thickness of this film, and what that is.
    pub(crate) finish: &'l dyn Fn(f64) -> Option<FinishFile>,
    pub(crate) thickness_nm: f64,
    /// What one turn lays, nm, where it is known.
    pub(crate) layer_nm: Option<f64>,
}

impl Laid<'_> {
    fn seen(&self, share: f64) -> Option<Lab> {
        (self.finish)(share).and_then(|f| lab_of(self.engine, self.eye, &f))
    }

    fn place(&self, name: &str, height_mm: Option<f64>, share: f64, whole: Lab) -> Option<PlaceJson> {
        let lab = self.seen(share)?;
        Some(PlaceJson {
            name: name.to_owned(),
            height_mm,
            share,
            thickness_nm: share * self.thickness_nm,
            lab: lab_array(lab),
            shown: self.engine.swatch_of(lab, self.eye.viewing().white()),
            delta_e: ciede2000(whole, lab),
        })
    }

    /// The load, where the coater tells it.
    pub(crate) fn told(&self) -> Option<LoadJson> {
        let loaded = Loaded::of(self.coater)?;
        let whole = self.seen(1.0)?;
        let of = |list: Vec<Position>, times: f64| -> Option<Vec<PlaceJson>> {
            list.iter().map(|p| self.place(&p.name, Some(p.height_mm), times * p.share, whole)).collect()
        };
        let positions = of(loaded.positions(), 1.0)?;
        let facets = loaded
            .on_part(self.extent)
            .iter()
            .map(|(name, share)| self.place(name, None, *share, whole))
            .collect::<Option<Vec<_>>>()?;
        let now = self.coater.targets.iter().map(|t| t.groove_mm).fold(0.0, f64::max);
        let groove_mm = if now > 0.0 { 0.0 } else { WORN_MM };
        let other = Loaded::with_groove(self.coater, Some(groove_mm))?;
        let share = other.reference / loaded.reference;
        let worn = Worn { groove_mm, share, positions: of(other.positions(), share)? };
        let words = words(&positions, &facets, &worn, now);
        let rate = self.coater.rate_nm_per_min.unwrap_or(1.0);
        Some(LoadJson {
            rotation: loaded.chamber.carousel.rotation,
            picture: loaded.picture(rate, self.layer_nm.unwrap_or(1.0)),
            positions,
            facets,
            worn,
            words,
        })
    }
}

fn words(positions: &[PlaceJson], facets: &[PlaceJson], worn: &Worn, now: f64) -> Vec<String> {
    let mut list = Vec::new();
    let worst = |places: &[PlaceJson]| places.iter().max_by(|a, b| a.delta_e.total_cmp(&b.delta_e)).cloned();
    if let Some(far) = worst(positions).filter(|p| p.delta_e > 0.05) {
        list.push(format!(
            "over the load: {} gets {:.0} % of the middle ({:.1} nm), {}, {:.1} from it (CIEDE2000)",
            far.name,
            100.0 * far.share,
            far.thickness_nm,
            far.shown.name,
            far.delta_e
        ));
    }
    if let Some(far) = worst(facets).filter(|p| p.delta_e > 0.05) {
        list.push(format!(
            "over the part: {} gets {:.0} % of the front ({:.1} nm), {}, {:.1} from it",
            far.name,
            100.0 * far.share,
            far.thickness_nm,
            far.shown.name,
            far.delta_e
        ));
    }
    list.push(if now > 0.0 {
        format!("with a new target {:.0} % as much would arrive of as much metal sputtered off", 100.0 * worn.share)
    } else {
        format!(
            "from a worn target (a track {} mm deep, an assumption) {:.0} % as much would arrive of as much metal sputtered off{}",
            worn.groove_mm,
            100.0 * worn.share,
            if worn.share < 0.995 { ": lay longer, and read the rate again" } else { "" }
        )
    });
    list.push(
        "straight flight from target to part: gas that scatters, bias that sputters off again, fixtures, and the shade that parts throw on themselves and their neighbours are not modelled; lay coupons at these places, and write their colours into the load's log"
            .to_owned(),
    );
    list
}
