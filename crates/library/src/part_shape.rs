//! The shape of a part as a person writes it.

use crate::embedded::Library;
use crate::fault::{InputError, Problem, nearest};
use crate::fields::Fields;
use crate::gauge::Form;

/// A thickness of sheet or wire, measured or from a gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// mm.
    pub mm: f64,
    /// The gauge that it was read from, in words.
    pub gauge: Option<String>,
    /// What to know about that gauge.
    pub note: Option<String>,
}

/// A shape; lengths in mm.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the keys of the part file, explained in docs/files.md")]
pub enum ShapeSpec {
    /// A rectangle of sheet.
    Sheet { length_mm: f64, width_mm: f64, thickness: Measured },
    /// A round blank.
    Disc { diameter_mm: f64, thickness: Measured },
    /// A ring with a rectangular section.
    Ring { outer_diameter_mm: f64, inner_diameter_mm: f64, width_mm: f64 },
    /// A tube; `bore`: whether its inside counts.
    Tube { outer_diameter_mm: f64, inner_diameter_mm: f64, length_mm: f64, bore: bool },
    /// Wire or rod.
    Wire { diameter: Measured, length_mm: f64 },
    /// A thin spherical cap; `hollow`: whether its hollow side counts.
    Dome { diameter_mm: f64, height_mm: f64, hollow: bool },
    /// A solid block.
    Block { length_mm: f64, width_mm: f64, height_mm: f64 },
    /// A ball.
    Sphere { diameter_mm: f64 },
}

const KINDS: [&str; 9] = ["sheet", "disc", "ring", "tube", "wire", "rod", "dome", "box", "sphere"];

/// `[shape]` of a part of `metal`.
pub(crate) fn read_shape(f: &Fields<'_>, metal: &str, library: &Library) -> Result<ShapeSpec, InputError> {
    let mm = |key: &str| f.need_quantity(key, key);
    let kind = f.need_text("kind", "kind = \"disc\"")?;
    Ok(match kind {
        "sheet" => ShapeSpec::Sheet {
            length_mm: mm("length_mm")?,
            width_mm: mm("width_mm")?,
            thickness: read_thickness(f, Form::Sheet, metal, library)?,
        },
        "disc" => ShapeSpec::Disc {
            diameter_mm: mm("diameter_mm")?,
            thickness: read_thickness(f, Form::Sheet, metal, library)?,
        },
        "ring" => {
            let (outer_diameter_mm, inner_diameter_mm) = read_bore(f)?;
            ShapeSpec::Ring { outer_diameter_mm, inner_diameter_mm, width_mm: mm("width_mm")? }
        }
        "tube" => {
            let (outer_diameter_mm, inner_diameter_mm) = read_bore(f)?;
            let length_mm = mm("length_mm")?;
            ShapeSpec::Tube { outer_diameter_mm, inner_diameter_mm, length_mm, bore: read_both(f)? }
        }
        "wire" | "rod" => {
            ShapeSpec::Wire { diameter: read_thickness(f, Form::Wire, metal, library)?, length_mm: mm("length_mm")? }
        }
        "dome" => {
            ShapeSpec::Dome { diameter_mm: mm("diameter_mm")?, height_mm: mm("height_mm")?, hollow: read_both(f)? }
        }
        "box" => {
            ShapeSpec::Block { length_mm: mm("length_mm")?, width_mm: mm("width_mm")?, height_mm: mm("height_mm")? }
        }
        "sphere" => ShapeSpec::Sphere { diameter_mm: mm("diameter_mm")? },
        other => {
            return Err(f.fault(
                "kind",
                Problem::UnknownName {
                    what: "shape",
                    given: other.to_owned(),
                    nearest: nearest(other, KINDS.iter().copied()),
                    hint: format!("known: {}; or weigh it and write [weighed]", KINDS.join(", ")),
                },
            ));
        }
    })
}

fn read_bore(f: &Fields<'_>) -> Result<(f64, f64), InputError> {
    let outer = f.need_quantity("outer_diameter_mm", "outer_diameter_mm")?;
    let inner = f.need_quantity("inner_diameter_mm", "inner_diameter_mm")?;
    if inner >= outer {
        let message =
            format!("inner_diameter_mm is {inner} mm, not less than outer_diameter_mm, {outer} mm; exchange them");
        return Err(f.fault("inner_diameter_mm", Problem::Conflict { message }));
    }
    Ok((outer, inner))
}

/// Whether both faces count.
fn read_both(f: &Fields<'_>) -> Result<bool, InputError> {
    match f.text("faces")? {
        None | Some("both") => Ok(true),
        Some("outer") => Ok(false),
        Some(other) => {
            let wanted = "\"both\" or \"outer\"".to_owned();
            Err(f.fault("faces", Problem::WrongKind { given: format!("\"{other}\""), wanted }))
        }
    }
}

/// `thickness_mm` of sheet or `diameter_mm` of wire: a length, a gauge as text, or the key `gauge` in its place.
pub(crate) fn read_thickness(
    f: &Fields<'_>,
    form: Form,
    metal: &str,
    library: &Library,
) -> Result<Measured, InputError> {
    let key = match form {
        Form::Sheet => "thickness_mm",
        Form::Wire => "diameter_mm",
    };
    let look_up = |key: &str, text: &str| {
        let read = library.gauge(text, metal, form).map_err(|problem| f.fault(key, problem))?;
        Ok(Measured { mm: read.thickness_mm, gauge: Some(read.words), note: read.note })
    };
    if f.has("gauge") {
        let text = match f.text_if("gauge") {
            Some(text) => text.to_owned(),
            None => f.integer("gauge")?.unwrap_or_default().to_string(),
        };
        if f.has(key) {
            let message = format!("gauge and {key} say the same thing twice; keep one of them");
            return Err(f.fault("gauge", Problem::Conflict { message }));
        }
        return look_up("gauge", &text);
    }
    match f.text_if(key) {
        Some(text) if library.is_gauge(text) => look_up(key, text),
        _ => Ok(Measured { mm: f.need_quantity(key, key)?, gauge: None, note: None }),
    }
}
