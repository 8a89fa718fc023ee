//! From the flow of a reactive gas to the composition of a film, as the shop's own colours at known flows say.
//!
//! No shop knows its sticking and yields, so that no balance of target, wall and gas foretells a composition; what it has
//! is parts of known flow and colour. Each colour is read back as a composition, by the same optics that foretell
//! colours, and the compositions follow the flow along a straight line, on one side of the jump, between the flows that
//! were tried.

use crate::engine::{Conditions, Engine, Light};
use crate::error::Fault;
use crate::finish::Eye;
use crate::response::{Response, ResponseError};
use crate::search::{least_on_line, valleys};
use colour::{Lab, ciede2000};
use library::{BaseSpec, Coater, FilmSpec, FinishFile, GasSpec, MaterialRef, MediumAbove, TextureSpec};
use optics::Geometry;

/// Thickness at which every nitride is opaque, nm.
const OPAQUE_NM: f64 = 2_000.0;
/// Places of the slider that a colour is compared with before the nearest is refined.
const SLIDER_POINTS: u32 = 41;
/// Compositions are learnt in hundredths, so that the prior scatter of a response (1) is a hundredth.
const HUNDREDTHS: f64 = 100.0;
/// A line whose slope is less than this many times its own doubt tells no composition.
const CERTAIN_SLOPE: f64 = 2.0;
/// Colours that lie further from every composition than this (CIEDE2000) are of another thing: own choice.
const STRANGE: f64 = 15.0;
/// A colour that no composition of the model comes nearer to than this (CIEDE2000) is told: own choice.
pub(crate) const MISSED_BY: f64 = 5.0;

/// A colour at a flow, read back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ReadBack {
    pub(crate) flow_sccm: f64,
    /// The nearest composition, and how far its colour still is.
    pub(crate) composition: f64,
    pub(crate) delta_e: f64,
}

/// Composition along a flow.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FlowMap {
    /// The gas, in words.
    pub(crate) gas: &'static str,
    /// Flows between which it holds, sccm.
    pub(crate) range_sccm: [f64; 2],
    /// On which side of the jump it was learnt.
    pub(crate) compound: bool,
    /// What it was learnt from.
    pub(crate) from: Vec<ReadBack>,
    line: Response<1>,
    slider: [f64; 2],
}

/// Why a flow tells no composition.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum NoMap {
    /// The coater has no such reading.
    NoReading,
    /// What is missing, in words.
    Unsure(String),
}

impl FlowMap {
    /// The map of `film` in `coater`.
    ///
    /// # Errors
    /// [`Fault`] when a light is not known. A reading that tells nothing is [`NoMap`].
    pub(crate) fn of(engine: &Engine, coater: &Coater, film: &str) -> Result<Result<Self, NoMap>, Fault> {
        let Some(spec) = coater.gases.iter().find(|g| g.film == film) else { return Ok(Err(NoMap::NoReading)) };
        let Some(family) = engine.library().entry(film).ok().and_then(|e| e.family.as_ref()) else {
            return Ok(Err(NoMap::Unsure(format!("{film} has no composition that could be set"))));
        };
        // The side of the jump on which more colours were laid; a film of the other side is another film.
        let compound = spec.colours.iter().filter(|c| c.compound).count() * 2 > spec.colours.len();
        let from = spec
            .colours
            .iter()
            .filter(|c| c.compound == compound)
            .map(|c| {
                let conditions = Conditions {
                    light: Light::Named(c.light.clone()),
                    observer: c.observer.to_string(),
                    tilt_deg: 0.0,
                    geometry: Geometry::Included,
                };
                let lab = Lab { l: c.lab[0], a: c.lab[1], b: c.lab[2] };
                let (composition, delta_e) = read_back(engine, &conditions, film, lab, family.range)?;
                Ok(ReadBack { flow_sccm: c.flow_sccm, composition, delta_e })
            })
            .collect::<Result<Vec<_>, Fault>>()?;
        Ok(Self::learnt(spec, film, compound, from, family.range))
    }

    fn learnt(
        spec: &GasSpec,
        film: &str,
        compound: bool,
        from: Vec<ReadBack>,
        slider: [f64; 2],
    ) -> Result<Self, NoMap> {
        let runs: Vec<(Vec<f64>, [f64; 1])> =
            from.iter().map(|r| (vec![r.flow_sccm], [HUNDREDTHS * r.composition])).collect();
        let gas = spec.gas.word();
        let line = Response::learn(&runs).map_err(|ResponseError::TooFew { have, .. }| {
            NoMap::Unsure(format!(
                "colours at known flows of {gas} tell the composition of {film} from three on (here: {have}): lay opaque coupons at three flows, and write their colours under [[coater.gas.colour]]"
            ))
        })?;
        let strange: Vec<&ReadBack> = from.iter().filter(|r| r.delta_e > STRANGE).collect();
        if 2 * strange.len() > from.len() {
            return Err(NoMap::Unsure(format!(
                "the colours at known flows of {gas} are not those of {film}: that at {} sccm lies {:.0} (CIEDE2000) from any that its model shows; measure opaque coupons, and see that light and observer are named",
                strange[0].flow_sccm, strange[0].delta_e
            )));
        }
        let (slope, doubt) = line.slope(0, 0);
        if slope.abs() < CERTAIN_SLOPE * doubt {
            return Err(NoMap::Unsure(format!(
                "the colours at known flows of {gas} do not tell the composition of {film}: it moves by {:.3} each sccm, known to {:.3}; lay coupons at flows further apart",
                slope / HUNDREDTHS,
                doubt / HUNDREDTHS
            )));
        }
        Ok(Self { gas, range_sccm: line.span(0), compound, from, line, slider })
    }

    /// Composition at a flow and its standard deviation (the line's; what a run strays by is the machine's); `None`
    /// outside the flows that were tried.
    pub(crate) fn composition(&self, flow_sccm: f64) -> Option<(f64, f64)> {
        let seen = self.line.at(&[flow_sccm])?;
        Some(((seen.mean[0] / HUNDREDTHS).clamp(self.slider[0], self.slider[1]), seen.line[0] / HUNDREDTHS))
    }

    /// Flow for a composition; `None` outside the flows that were tried.
    pub(crate) fn flow(&self, composition: f64) -> Option<f64> {
        let [low, high] = self.range_sccm;
        let (at_low, _) = self.composition(low)?;
        let (slope, _) = self.line.slope(0, 0);
        let flow = low + (composition - at_low) * HUNDREDTHS / slope;
        (flow >= low - 1e-9 && flow <= high + 1e-9).then(|| flow.clamp(low, high))
    }

    /// Compositions that the flows that were tried reach.
    pub(crate) fn reach(&self) -> [f64; 2] {
        let ends = self.range_sccm.map(|flow| self.composition(flow).map_or(f64::NAN, |c| c.0));
        [ends[0].min(ends[1]), ends[0].max(ends[1])]
    }

    /// How far the map may be off: the line's doubt where it is greatest, one standard deviation.
    pub(crate) fn doubt(&self) -> f64 {
        self.range_sccm.iter().filter_map(|f| self.composition(*f)).map(|c| c.1).fold(0.0, f64::max)
    }

    /// How the composition moves with a flow, per sccm.
    pub(crate) fn slope(&self) -> f64 {
        self.line.slope(0, 0).0 / HUNDREDTHS
    }
}

fn mirror() -> TextureSpec {
    TextureSpec { word: None, roughness_nm: 0.0, slope_deg: 0.0, assumed: None }
}

/// The composition of an opaque `film` whose colour is nearest to `lab`, and how far it still is.
///
/// # Errors
/// [`Fault`] when the light or the film is not known.
fn read_back(
    engine: &Engine,
    conditions: &Conditions,
    film: &str,
    lab: Lab,
    range: [f64; 2],
) -> Result<(f64, f64), Fault> {
    let eye = Eye::new(engine, conditions)?;
    let opaque = FinishFile {
        name: None,
        medium: MediumAbove::Air,
        base: BaseSpec { material: MaterialRef::Inline { n: 2.0, k: 3.0 }, texture: mirror() },
        films: vec![FilmSpec {
            material: MaterialRef::Library { id: film.to_owned(), source: None },
            thickness_nm: OPAQUE_NM,
            thickness_sd_nm: 0.0,
            spread: 0.0,
            porosity: 0.0,
            composition: Some(range[0]),
        }],
        over: Vec::new(),
    };
    let built = engine.build(&opaque)?;
    let off = |composition: f64| {
        let mut values = built.values().clone();
        values.films[0].composition = composition;
        eye.lab(&built, &values).map_or(f64::INFINITY, |seen| ciede2000(seen, lab))
    };
    let step = (range[1] - range[0]) / f64::from(SLIDER_POINTS - 1);
    let scan: Vec<f64> = (0..SLIDER_POINTS).map(|i| off(range[0] + step * f64::from(i))).collect();
    #[expect(clippy::cast_precision_loss, reason = "41 points")]
    let best = valleys(&scan).first().map_or(range[0], |i| range[0] + step * *i as f64);
    Ok(least_on_line(off, (best - step).max(range[0]), (best + step).min(range[1]), 1e-4))
}
