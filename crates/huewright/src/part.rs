//! How much surface has this part?
//!
//! What a bath must give current to, what a coater charges for: from the shape, or from the weight of what was cut from
//! sheet or wire. The density comes from the register, unless the person gives it.

use crate::engine::Engine;
use crate::error::Fault;
use crate::matching::CautionJson;
use ::part::{Area, Faces, Shape, ShapeError, sheet_of_mass, wire_of_mass};
use library::{Circumstance, Extent, Measured, PartFile, ShapeSpec, Stock};
use serde::Serialize;

/// The area of a part. Field names and meaning are a contract (docs/json.md).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartArea {
    /// 1.
    pub schema: u32,
    /// Of all parts alike together, cm2.
    pub area_cm2: f64,
    /// Of one, cm2.
    pub one_cm2: f64,
    /// How many alike.
    pub count: u32,
    /// How it was reckoned, with the numbers used.
    pub how: String,
    /// What to know beside the number.
    pub notes: Vec<String>,
    /// What keeps people safe with this metal, whatever is done to it.
    pub cautions: Vec<CautionJson>,
}

/// A part whose area cannot be told.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PartError {
    /// Weighed, but of unknown density.
    #[error(
        "the library has no density of '{metal}', which the area from weight needs; add `density_g_cm3` under \
         [weighed], from the dealer's data sheet, or measure the part and write [shape]"
    )]
    NoDensity {
        /// The metal.
        metal: String,
    },
    /// A shape that cannot be.
    #[error(transparent)]
    Shape(#[from] ShapeError),
}

const MM2_PER_CM2: f64 = 100.0;

/// The area of `part`, with the words that say how.
///
/// # Errors
/// [`Fault::Part`] when a weighed part's density is not known, or its lengths cannot be.
pub fn area(engine: &Engine, part: &PartFile) -> Result<PartArea, Fault> {
    let Reckoned { area, words, notes } = match &part.extent {
        Extent::Shape(spec) => measured(spec),
        Extent::Weighed { weight_g, density_g_cm3, stock } => {
            weighed(engine, &part.metal, *weight_g, *density_g_cm3, stock)
        }
    }?;
    let one_cm2 = area.total_mm2() / MM2_PER_CM2;
    let area_cm2 = one_cm2 * f64::from(part.count);
    let mut how = format!("{words}: {}", area_words(area));
    if part.count > 1 {
        how.push_str(&format!("; {} alike: {} cm2", part.count, short(area_cm2)));
    }
    let mut notes: Vec<String> = notes.into_iter().flatten().collect();
    notes.extend(part.texture.assumed.clone());
    if part.texture.slope_deg > 0.0 || part.texture.roughness_nm > 0.0 {
        notes.push(
            "the area is that of the smooth outline: the texture adds to it, by an amount not reckoned".to_owned(),
        );
    }
    let uses = part.uses.iter().map(|u| u.word()).collect();
    let met = Circumstance { materials: vec![&part.metal], uses, ..Circumstance::default() };
    let cautions = engine.library().cautions().iter().filter(|c| c.applies(&met)).map(CautionJson::from).collect();
    Ok(PartArea { schema: 1, area_cm2, one_cm2, count: part.count, how, notes, cautions })
}

/// An area and how it came about; notes that do not apply are `None`.
struct Reckoned {
    area: Area,
    words: String,
    notes: Vec<Option<String>>,
}

fn measured(spec: &ShapeSpec) -> Result<Reckoned, PartError> {
    let faces = |both: bool| if both { Faces::Both } else { Faces::Outer };
    let counted = |both: bool| if both { "inside and outside" } else { "outside only" };
    let (shape, words, notes) = match spec {
        ShapeSpec::Sheet { length_mm, width_mm, thickness } => (
            Shape::Sheet { length_mm: *length_mm, width_mm: *width_mm, thickness_mm: thickness.mm },
            format!("sheet, {} x {} mm, {} thick", short(*length_mm), short(*width_mm), thickness_words(thickness)),
            vec![thickness.note.clone()],
        ),
        ShapeSpec::Disc { diameter_mm, thickness } => (
            Shape::Disc { diameter_mm: *diameter_mm, thickness_mm: thickness.mm },
            format!("disc, {} mm across, {} thick", short(*diameter_mm), thickness_words(thickness)),
            vec![thickness.note.clone()],
        ),
        ShapeSpec::Ring { outer_diameter_mm: outer, inner_diameter_mm: inner, width_mm } => (
            Shape::Ring { outer_mm: *outer, inner_mm: *inner, width_mm: *width_mm },
            format!("ring, {} mm outside, {} mm inside, {} mm wide", short(*outer), short(*inner), short(*width_mm)),
            Vec::new(),
        ),
        ShapeSpec::Tube { outer_diameter_mm: outer, inner_diameter_mm: inner, length_mm, bore } => {
            let size =
                format!("{} mm outside, {} mm inside, {} mm long", short(*outer), short(*inner), short(*length_mm));
            (
                Shape::Tube { outer_mm: *outer, inner_mm: *inner, length_mm: *length_mm, faces: faces(*bore) },
                format!("tube, {size}, {}", counted(*bore)),
                vec![(*bore).then(|| {
                    "the bore counts in full, though a bath or a coater reaches less and less far into it \
                     (common practice, no source): faces = \"outer\" leaves it out"
                        .to_owned()
                })],
            )
        }
        ShapeSpec::Wire { diameter, length_mm } => (
            Shape::Wire { diameter_mm: diameter.mm, length_mm: *length_mm },
            format!("wire, {} across, {} mm long", thickness_words(diameter), short(*length_mm)),
            vec![diameter.note.clone()],
        ),
        ShapeSpec::Dome { diameter_mm, height_mm, hollow } => (
            Shape::Dome { diameter_mm: *diameter_mm, height_mm: *height_mm, faces: faces(*hollow) },
            format!("dome, {} mm across, {} mm high, {}", short(*diameter_mm), short(*height_mm), counted(*hollow)),
            vec![Some("the dome is taken as part of a sphere and thin: its rim is left out".to_owned())],
        ),
        ShapeSpec::Block { length_mm, width_mm, height_mm } => (
            Shape::Block { length_mm: *length_mm, width_mm: *width_mm, height_mm: *height_mm },
            format!("box, {} x {} x {} mm", short(*length_mm), short(*width_mm), short(*height_mm)),
            Vec::new(),
        ),
        ShapeSpec::Sphere { diameter_mm } => (
            Shape::Sphere { diameter_mm: *diameter_mm },
            format!("sphere, {} mm across", short(*diameter_mm)),
            Vec::new(),
        ),
    };
    Ok(Reckoned { area: shape.area()?, words, notes })
}

fn weighed(
    engine: &Engine,
    metal: &str,
    weight_g: f64,
    given: Option<f64>,
    stock: &Stock,
) -> Result<Reckoned, PartError> {
    let register = engine.library().entry(metal).ok().and_then(|entry| entry.density_g_cm3);
    let (density, from) = match (given, register) {
        (Some(given), _) => (given, "as given"),
        (None, Some(density)) => (density, "from the register"),
        (None, None) => return Err(PartError::NoDensity { metal: metal.to_owned() }),
    };
    let (area, thickness, words, left_out) = match stock {
        Stock::Sheet(t) => (sheet_of_mass(weight_g, density, t.mm)?, t, "sheet, 2 m/(rho t)", "the edges are left out"),
        Stock::Wire(d) => (wire_of_mass(weight_g, density, d.mm)?, d, "wire, 4 m/(rho d)", "the ends are left out"),
    };
    let size = thickness_words(thickness);
    let words = format!("{words}: {} g of {metal} at {} g/cm3 ({from}), {size}", short(weight_g), short(density));
    let left_out = format!("{left_out}; the area is as uncertain as the thickness, in per cent");
    Ok(Reckoned { area, words, notes: vec![Some(left_out), thickness.note.clone()] })
}

fn thickness_words(thickness: &Measured) -> String {
    match &thickness.gauge {
        Some(gauge) => format!("{} mm ({gauge})", short(thickness.mm)),
        None => format!("{} mm", short(thickness.mm)),
    }
}

fn area_words(area: Area) -> String {
    let [faces, edges, total] = [area.faces_mm2, area.edges_mm2, area.total_mm2()].map(|mm2| short(mm2 / MM2_PER_CM2));
    if area.edges_mm2 > 0.0 {
        format!("faces {faces} cm2, edges and ends {edges} cm2, together {total} cm2")
    } else {
        format!("{total} cm2")
    }
}

/// Four digits, and no more of them than the number has.
fn short(value: f64) -> String {
    let rounded: f64 = format!("{value:.3e}").parse().unwrap_or(value);
    rounded.to_string()
}

#[cfg(test)]
mod tests {
    use super::short;

    #[test]
    fn four_digits_are_told() {
        assert_eq!([58.0, 0.510_556, 52.834_2, 12_345.6].map(short), ["58", "0.5106", "52.83", "12350"]);
    }
}
