//! Constants of the library as processes of the routes.

use library::{GrowthLaw, GrowthTable, OxidationLaw, OxidationTable};
use routes::anodise::Anodise;
use routes::heat::Heat;

/// The laws that hold in `electrolyte`: those measured in it, else those for any bath.
pub(crate) fn anodise_laws(table: &GrowthTable, electrolyte: Option<&str>) -> Vec<(GrowthLaw, Anodise)> {
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
                ratio_nm_per_v: law.ratio_nm_per_v,
                ratio_sd_nm_per_v: law.ratio_sd_nm_per_v,
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
