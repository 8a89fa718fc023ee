//! What the warmth of the chamber does to the base: hardness that was given by a tempering, metals that soften, brass
//! that gives off zinc.

use super::answer::Warmth;
use crate::engine::Engine;
use library::Coater;
use routes::evaporation::ZINC;

/// No base is coated hotter than this (coatings.md 3.5.1, seen second-hand): above it tool steels soften.
const NEVER_ABOVE_C: f64 = 500.0;
/// Below this the vapour of zinc is nothing beside the gas (coatings.md 3.5.14), C.
const ZINC_TOLD_FROM_C: f64 = 150.0;
/// Pressure of the process where the workshop does not say (public notes: 0.1 to 1 Pa), Pa.
const USUAL_PRESSURE_PA: f64 = 0.4;

/// Why a part must not get so hot; `None`: nothing known forbids it.
pub(crate) fn forbidden(base: &str, part_c: f64, tempered_c: Option<f64>) -> Option<(String, String)> {
    let tempered = tempered_c.filter(|t| part_c >= *t)?;
    Some((
        format!(
            "the part gets {part_c} C hot; this {base} was heat-treated last at {tempered} C and loses its hardness from there on"
        ),
        format!("a cycle below {tempered} C"),
    ))
}

/// What the warmth does to `base`; `None` where no temperature is known.
pub(crate) fn warmth(
    engine: &Engine,
    base: Option<&str>,
    coater: &Coater,
    part_c: Option<f64>,
    tempered_c: Option<f64>,
) -> Option<Warmth> {
    let part_c = part_c?;
    let mut words = Vec::new();
    if let Some(base) = base {
        for row in engine.library().softening(base) {
            if part_c > row.above_c {
                words.push(format!("{} ({}; {})", row.words, row.source, row.status));
            }
        }
        if base.starts_with("brass")
            && part_c >= ZINC_TOLD_FROM_C
            && let (Some(vapour), Some(loss)) = (ZINC.pressure_pa(part_c), ZINC.free_um_per_h(part_c, 1.0))
        {
            let pressure = coater.pressure_pa.unwrap_or(USUAL_PRESSURE_PA);
            words.push(format!(
                "over pure zinc at {part_c} C stand {vapour:.2e} Pa of vapour, beside a process at {pressure} Pa; it would lose {loss:.2} um an hour, brass less by its share of zinc (vapour pressure from memory)"
            ));
        }
        if let Some(tempered) = tempered_c {
            words.push(format!(
                "the part was heat-treated last at {tempered} C: {:.0} C are left below it",
                tempered - part_c
            ));
        }
    }
    if part_c > NEVER_ABOVE_C {
        words.push(format!(
            "{part_c} C: coaters of tool steel stay below {NEVER_ABOVE_C} C with every part (seen second-hand)"
        ));
    }
    if words.is_empty() {
        words.push(format!("nothing known here forbids {part_c} C; solder, glue, plating and temper of the part may"));
    }
    Some(Warmth { part_c, words })
}
