//! Constants of the library as processes of the routes.

use library::{GrowthLaw, GrowthTable, OxidationLaw, OxidationTable};
use routes::anodise::Anodise;
use routes::heat::Heat;

/// By how much the growth ratio is changed in a bath of `bath_c`: in proportion to absolute temperature, where the table
/// says so.
fn warmth(table: &GrowthTable, bath_c: f64) -> f64 {
    // What was converted from another unit is as warm as what it says.
    let other = (bath_c - table.field.at_c).abs() > 0.05;
    if table.field.per_kelvin && other { routes::field::warmth(table.field.at_c, bath_c) } else { 1.0 }
}

/// What to know of a bath that is warmer or colder than that of the laws.
pub(crate) fn warmth_note(table: &GrowthTable, bath_c: f64) -> Option<String> {
    ((bath_c - table.field.at_c).abs() > 2.0 && table.field.per_kelvin).then(|| {
        format!(
            "at {bath_c:.0} C the ratio is taken as {:.3} of that at {:.0} C, in proportion to absolute temperature (rule from memory; the sign is published for tantalum and niobium)",
            warmth(table, bath_c),
            table.field.at_c
        )
    })
}

/// The laws that hold in `electrolyte` at `bath_c`: those measured in it, else those for any bath.
pub(crate) fn anodise_laws(table: &GrowthTable, electrolyte: Option<&str>, bath_c: f64) -> Vec<(GrowthLaw, Anodise)> {
    let warm = warmth(table, bath_c);
    let measured: Vec<&GrowthLaw> =
        table.laws.iter().filter(|l| electrolyte.is_some_and(|e| l.electrolytes.iter().any(|x| x == e))).collect();
    let chosen =
        if measured.is_empty() { table.laws.iter().filter(|l| l.electrolytes.is_empty()).collect() } else { measured };
    chosen
        .into_iter()
        .map(|law| {
            let anodise = Anodise {
                offset_nm: law.offset_nm,
                offset_sd_nm: law.offset_sd_nm,
                ratio_nm_per_v: law.ratio_nm_per_v * warm,
                ratio_sd_nm_per_v: law.ratio_sd_nm_per_v * warm,
                consumed: table.consumed,
                repeatability_v: 0.0,
            };
            (law.clone(), anodise)
        })
        .collect()
}

/// The oxidation law of the library with an oven's repeatability.
pub(crate) fn heat_law(table: &OxidationTable, law: &OxidationLaw, repeatability_c: f64) -> Heat {
    Heat {
        activation_kj_per_mol: law.activation_kj_per_mol,
        k0_nm2_per_s: law.k0_nm2_per_s,
        factor: law.factor,
        consumed: table.consumed,
        repeatability_c,
    }
}
