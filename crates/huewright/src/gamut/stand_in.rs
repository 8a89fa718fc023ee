//! What stands in for a workshop that was not given: whatever the library can grow or lay, on bare mirrors.

use crate::engine::Engine;
use library::{
    Anodiser, Bath, Class, Coater, CoaterFilm, CoaterKind, Entry, Head, Metal, Meter, Optical, Oven, Ripple, Role,
    SupplyKind, TextureSpec, WorkshopFile,
};

/// A supply, an oven and a coater that stop at nothing but what the library's laws allow. Two benches: every metal that
/// a bath or an oven colours; and one metal with every nitride and oxynitride, since a nitride of usual thickness hides
/// what lies below.
pub fn any_workshop(engine: &Engine) -> Vec<WorkshopFile> {
    let library = engine.library();
    let heated = |id: &str| library.oxidation(id).is_some_and(|t| t.law.is_some());
    // A metal that goes by another's table and grows by another's law would only show the other's colours twice.
    let twin = |e: &Entry| {
        let first = |id: &str| library.growth(id).and_then(|g| g.metals.first()).is_none_or(|m| m == id);
        let same_as = |h: &Head| matches!(h.optical, Optical::SameAs { k: None, .. });
        library.head(&e.id, &e.default).is_ok_and(same_as) && !first(&e.id)
    };
    let metal = |e: &&Entry| e.roles.contains(&Role::Base) && e.class == Class::Metal && !twin(e);
    let bases = || library.entries().iter().filter(metal);
    let grown: Vec<&str> =
        bases().map(|e| e.id.as_str()).filter(|id| library.growth(id).is_some() || heated(id)).collect();
    let laws = || library.growths().iter().flat_map(|g| &g.laws);
    let own_law = |id: &str| laws().any(|l| l.electrolytes.iter().any(|e| e == id));
    let mut baths: Vec<Bath> = Vec::new();
    for electrolyte in library.electrolytes().iter().filter(|e| e.unfit.is_none()) {
        // Electrolytes without a law of their own grow alike: one stands for all, one that does not spark early.
        let usual = !own_law(&electrolyte.id) && electrolyte.breakdown_v.is_none();
        if own_law(&electrolyte.id) || (usual && !baths.iter().any(|b| !own_law(&b.electrolyte))) {
            baths.push(Bath {
                name: format!("any bath of {}", electrolyte.id),
                electrolyte: electrolyte.id.clone(),
                percent: None,
                dose: None,
                temperature_c: ROOM_C,
            });
        }
    }
    let supply = Anodiser {
        name: "any supply".to_owned(),
        kind: SupplyKind::Regulated,
        ripple: Ripple::None,
        ripple_given: true,
        meter: Meter::Peak,
        meter_given: true,
        step_v: None,
        internal_ohm: None,
        isolated: Some(true),
        max_voltage_v: laws().map(|l| l.valid_v[1]).fold(0.0, f64::max),
        max_current_a: None,
        repeatability_v: 0.0,
        gap_mm: None,
        spread: 0.0,
    };
    let laws = library.entries().iter().filter_map(|e| library.oxidation(&e.id)?.law.as_ref());
    let oven = Oven {
        name: "any oven".to_owned(),
        max_temperature_c: laws.map(|l| l.valid_c[1]).fold(0.0, f64::max),
        repeatability_c: 0.0,
        spread: 0.0,
    };
    let laid = library.entries().iter().filter(|e| matches!(e.class, Class::Nitride | Class::Oxynitride));
    let films = laid.map(|e| CoaterFilm { material: e.id.clone(), composition: None }).collect();
    let coater = Coater {
        name: "any coater".to_owned(),
        kind: CoaterKind::Sputter,
        films,
        thinnest_nm: 0.0,
        thickest_nm: None,
        repeatability: 0.0,
        repeatability_composition: None,
        rate_nm_per_min: None,
        part_temperature_c: None,
        spread: 0.0,
        shutter_s: 0.0,
        pressure_pa: None,
        load: None,
        targets: Vec::new(),
        gases: Vec::new(),
    };
    let bench = |name: &str, metals: &[&str]| WorkshopFile {
        name: Some(name.to_owned()),
        metals: metals.iter().map(|id| mirror(id)).collect(),
        baths: Vec::new(),
        anodisers: Vec::new(),
        ovens: vec![oven.clone()],
        coaters: Vec::new(),
        licensed_hydrofluoric: false,
    };
    let under = grown.iter().copied().find(|id| library.growth(id).is_none());
    let vacuum = WorkshopFile {
        coaters: vec![coater],
        // The oven already meets this metal on the first bench; here it meets the nitrides.
        ..bench("any vacuum", under.as_slice())
    };
    vec![WorkshopFile { baths, anodisers: vec![supply], ..bench("any bath and oven", &grown) }, vacuum]
}

/// Bath temperature that is told; no law of the library asks for one.
const ROOM_C: f64 = 20.0;

fn mirror(id: &str) -> Metal {
    Metal {
        id: id.to_owned(),
        source: None,
        films: Vec::new(),
        texture: TextureSpec { word: None, roughness_nm: 0.0, slope_deg: 0.0, assumed: None },
        tempered_c: None,
    }
}
