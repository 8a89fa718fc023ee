//! A ribbon as a table, and the runs of one word along it.

use super::{Band, Point, Ribbon};

/// Runs of one trade word along a row.
pub(super) fn bands(points: &[Point]) -> Vec<Band> {
    let mut list: Vec<Band> = Vec::new();
    for point in points {
        match list.last_mut() {
            Some(last) if last.name == point.shown.name => last.to = point.value,
            _ => list.push(Band { from: point.value, to: point.value, name: point.shown.name.clone() }),
        }
    }
    list
}

impl Ribbon {
    /// The colours as CSV, one line each; column names carry the unit (docs/files.md).
    pub fn csv(&self) -> String {
        let mut text = format!("tilt_deg,{},film_nm,L,a,b,srgb,srgb_out_of_gamut,name\n", self.setting);
        for row in &self.rows {
            for p in &row.points {
                text.push_str(&format!(
                    "{},{},{},{},{},{},{},{},{}\n",
                    row.tilt_deg,
                    p.value,
                    p.thickness_nm,
                    p.lab[0],
                    p.lab[1],
                    p.lab[2],
                    p.shown.srgb,
                    p.shown.srgb_out_of_gamut,
                    p.shown.name
                ));
            }
        }
        text
    }
}
