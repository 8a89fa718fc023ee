//! Samples as they stand in the answer: worked out in full, with settings and finish.

use super::answer::{Cell, Curve, CurvePoint, HueReach, Spot};
use super::tally::{CELL, Cells, Made, SECTORS, SEEN_CHROMA, Sector, sector_of};
use crate::engine::Engine;
use crate::finish::Eye;
use crate::json::{finish_json, lab_array};
use crate::matching::best::made;
use crate::matching::enumerate::{Candidate, existing_for};
use crate::matching::flat::lab_of;
use crate::matching::space::Space;
use crate::matching::step::Setting;
use crate::matching::{CautionJson, told_steps};
use colour::{Lab, ciede2000};
use library::FinishFile;
use serde_json::{Map, Value};

/// Tells the samples of one way.
pub(crate) struct Teller<'t> {
    pub(crate) engine: &'t Engine,
    pub(crate) eye: &'t Eye<'t>,
    pub(crate) candidate: &'t Candidate,
    pub(crate) space: &'t Space,
    pub(crate) wanted: Option<Lab>,
    /// Cautions for what has been told so far.
    pub(crate) cautions: Vec<CautionJson>,
}

impl Teller<'_> {
    /// A sample by its true colour.
    pub(crate) fn spot(&mut self, sample: &Made) -> Option<Spot> {
        let settings = self.space.settings(&sample.x);
        let finish = made(self.candidate, &settings, &[])?;
        let lab = lab_of(self.engine, self.eye, &finish)?;
        Some(self.told(&settings, &finish, lab))
    }

    /// A colour with what makes it.
    pub(crate) fn told(&mut self, settings: &[Setting], finish: &FinishFile, lab: Lab) -> Spot {
        let (steps, cautions) = told_steps(self.engine, self.candidate, Some(settings));
        for caution in cautions {
            if !self.cautions.contains(&caution) {
                self.cautions.push(caution);
            }
        }
        let lch = lab.lch();
        Spot {
            lab: lab_array(lab),
            chroma: lch.c,
            hue_deg: lch.h,
            shown: self.engine.swatch_of(lab, self.eye.viewing().white()),
            delta_e: self.wanted.map(|wanted| ciede2000(lab, wanted)),
            steps,
            finish: finish_json(finish),
        }
    }

    /// The sectors of hue, by the true colours: a shift may have led one into the next sector, or below the chroma that
    /// is seen.
    pub(crate) fn hues(&mut self, sectors: &[Option<Sector>]) -> Vec<Option<HueReach>> {
        let mut hues: Vec<Option<HueReach>> = vec![None; SECTORS];
        for sector in sectors.iter().flatten() {
            let Some(spot) = self.spot(&sector.most).filter(|s| s.chroma >= SEEN_CHROMA) else { continue };
            let place = &mut hues[sector_of(spot.hue_deg)];
            if place.as_ref().is_none_or(|there| there.spot.chroma < spot.chroma) {
                let [least, greatest] = sector.lightness;
                let lightness = [least.min(spot.lab[0]), greatest.max(spot.lab[0])];
                *place = Some(HueReach { spot, lightness });
            }
        }
        hues
    }

    pub(crate) fn cells(&self, cells: &Cells) -> Vec<Cell> {
        let white = self.eye.viewing().white();
        cells
            .iter()
            .map(|((a, b), ends)| Cell {
                a: CELL * f64::from(*a),
                b: CELL * f64::from(*b),
                lightness: [ends[0].l, ends[1].l],
                srgb: [self.engine.swatch_of(ends[0], white).srgb, self.engine.swatch_of(ends[1], white).srgb],
            })
            .collect()
    }

    /// The line of a way with one number.
    pub(crate) fn curve(&self, line: &[Made]) -> Option<Curve> {
        let step = self.candidate.steps.first()?;
        let existing = existing_for(step, &self.candidate.start);
        let (setting, unit) = match step.route() {
            "anodise" => ("voltage_v", "V"),
            "heat" => ("temperature_c", "C"),
            _ => ("thickness_nm", "nm"),
        };
        let white = self.eye.viewing().white();
        let points = line
            .iter()
            .filter_map(|sample| {
                let settings = step.settings(*self.space.settings(&sample.x).first()?, existing);
                let value = settings.iter().find(|(key, _)| *key == setting)?.1;
                let settings: Map<String, Value> =
                    settings.into_iter().map(|(key, value)| (key.to_owned(), value.into())).collect();
                let swatch = self.engine.swatch_of(sample.lab, white);
                Some(CurvePoint {
                    value,
                    settings: Value::Object(settings),
                    thickness_nm: sample.x[0],
                    lab: lab_array(sample.lab),
                    srgb: swatch.srgb,
                    name: swatch.name,
                })
            })
            .collect();
        Some(Curve { setting, unit, points })
    }
}
