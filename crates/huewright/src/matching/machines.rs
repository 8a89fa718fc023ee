//! The machines of a way as the tables of a workshop file, so that a recipe stands by itself.

use super::recipe::{number_of, quoted};
use super::step::Step;
use library::{Anodiser, Bath, Coater, CoaterKind, GasSpec, LoadSpec, Meter, Oven, Ripple, SupplyKind, TargetSpec};

/// The tables of everything that `steps` use, each machine once.
pub(crate) fn machine_tables(steps: &[Step]) -> String {
    let mut tables: Vec<String> = Vec::new();
    let mut keep = |table: String| {
        if !tables.contains(&table) {
            tables.push(table);
        }
    };
    for step in steps {
        match step {
            Step::Anodise { supply, bath, .. } => {
                keep(bath_table(bath));
                keep(supply_table(supply));
            }
            Step::Heat { oven, .. } => keep(oven_table(oven)),
            Step::Lay { coater, .. } => keep(coater_table(coater)),
        }
    }
    tables.concat()
}

fn table(head: &str, name: &str, rows: &[(&str, Option<String>)]) -> String {
    let mut text = format!("\n[[{head}]]\nname = {}\n", quoted(name));
    for (key, value) in rows {
        if let Some(value) = value {
            text.push_str(&format!("{key} = {value}\n"));
        }
    }
    text
}

/// A number that is left out where it is nothing.
fn unless_nought(value: f64) -> Option<String> {
    (value != 0.0).then(|| number_of(value))
}

fn bath_table(bath: &Bath) -> String {
    table(
        "bath",
        &bath.name,
        &[
            ("electrolyte", Some(quoted(&bath.electrolyte))),
            ("percent", bath.percent.map(number_of)),
            ("temperature_c", Some(number_of(bath.temperature_c))),
        ],
    )
}

fn supply_table(supply: &Anodiser) -> String {
    let kind = match supply.kind {
        SupplyKind::Regulated => "regulated",
        SupplyKind::Batteries => "batteries",
        SupplyKind::Rectified => "rectified",
    };
    let ripple = match supply.ripple {
        Ripple::None => "none",
        Ripple::FullWave => "full-wave",
        Ripple::HalfWave => "half-wave",
    };
    let meter = match supply.meter {
        Meter::Peak => "peak",
        Meter::Average => "average",
        Meter::Rms => "rms",
    };
    let rectified = supply.kind == SupplyKind::Rectified;
    table(
        "anodiser",
        &supply.name,
        &[
            ("kind", Some(quoted(kind))),
            ("isolated", supply.isolated.map(|b| b.to_string())),
            ("ripple", rectified.then(|| quoted(ripple))),
            ("meter", rectified.then(|| quoted(meter))),
            ("max_voltage_v", Some(number_of(supply.max_voltage_v))),
            ("max_current_a", supply.max_current_a.map(number_of)),
            ("step_v", supply.step_v.map(number_of)),
            ("internal_ohm", supply.internal_ohm.map(number_of)),
            ("repeatability_v", unless_nought(supply.repeatability_v)),
            ("gap_mm", supply.gap_mm.map(number_of)),
            ("spread", unless_nought(supply.spread)),
        ],
    )
}

fn oven_table(oven: &Oven) -> String {
    table(
        "oven",
        &oven.name,
        &[
            ("max_temperature_c", Some(number_of(oven.max_temperature_c))),
            ("repeatability_c", unless_nought(oven.repeatability_c)),
            ("spread", unless_nought(oven.spread)),
        ],
    )
}

fn coater_table(coater: &Coater) -> String {
    let films: Vec<String> = coater
        .films
        .iter()
        .map(|f| match f.composition {
            Some(c) => format!("{{ material = {}, composition = {} }}", quoted(&f.material), number_of(c)),
            None => quoted(&f.material),
        })
        .collect();
    let mut text = table(
        "coater",
        &coater.name,
        &[
            ("kind", Some(quoted(if coater.kind == CoaterKind::Arc { "arc" } else { "sputter" }))),
            ("films", Some(format!("[{}]", films.join(", ")))),
            ("thinnest_nm", Some(number_of(coater.thinnest_nm))),
            ("thickest_nm", coater.thickest_nm.map(number_of)),
            ("repeatability", unless_nought(coater.repeatability)),
            ("repeatability_composition", coater.repeatability_composition.map(number_of)),
            ("rate_nm_per_min", coater.rate_nm_per_min.map(number_of)),
            ("shutter_s", unless_nought(coater.shutter_s)),
            ("pressure_pa", coater.pressure_pa.map(number_of)),
            ("part_temperature_c", coater.part_temperature_c.map(number_of)),
            ("spread", unless_nought(coater.spread)),
        ],
    );
    text.push_str(&coater.load.as_ref().map(load_table).unwrap_or_default());
    coater.targets.iter().for_each(|t| text.push_str(&target_table(t)));
    coater.gases.iter().for_each(|g| text.push_str(&gas_table(g)));
    text
}

/// A table below a coater, without a name of its own.
fn below(head: &str, rows: &[(&str, Option<String>)]) -> String {
    let told = rows.iter().filter_map(|(key, value)| value.as_ref().map(|v| format!("{key} = {v}\n")));
    format!("{head}\n{}", told.collect::<String>())
}

fn load_table(load: &LoadSpec) -> String {
    let satellites = load.rotation >= 2;
    below(
        "[coater.load]",
        &[
            ("rotation", Some(load.rotation.to_string())),
            ("rpm", load.rpm.map(number_of)),
            ("table_radius_mm", Some(number_of(load.table_radius_mm))),
            ("satellites", satellites.then(|| load.satellites.to_string())),
            ("satellite_radius_mm", load.satellite_radius_mm.map(number_of)),
            ("satellite_ratio", satellites.then(|| number_of(load.satellite_ratio))),
            ("pin_ratio", (load.rotation == 3).then(|| number_of(load.pin_ratio))),
            ("height_mm", Some(number_of(load.height_mm))),
            ("inner_mm", unless_nought(load.inner_mm)),
        ],
    )
}

fn target_table(target: &TargetSpec) -> String {
    below(
        "[[coater.target]]",
        &[
            ("bearing_deg", Some(number_of(target.bearing_deg))),
            ("axis_mm", Some(number_of(target.axis_mm))),
            ("track_height_mm", Some(number_of(target.track_height_mm))),
            ("track_width_mm", Some(number_of(target.track_width_mm))),
            ("emission", Some(number_of(target.emission))),
            ("centre_mm", unless_nought(target.centre_mm)),
            ("groove_mm", unless_nought(target.groove_mm)),
        ],
    )
}

fn gas_table(gas: &GasSpec) -> String {
    let pairs = |list: &[[f64; 2]]| {
        let told: Vec<String> = list.iter().map(|p| format!("[{}, {}]", number_of(p[0]), number_of(p[1]))).collect();
        (!told.is_empty()).then(|| format!("[{}]", told.join(", ")))
    };
    let mut text = below(
        "[[coater.gas]]",
        &[
            ("gas", Some(quoted(gas.gas.word()))),
            ("film", Some(quoted(&gas.film))),
            ("current_a", gas.current_a.map(number_of)),
            ("pumping_l_per_s", gas.pumping_l_per_s.map(number_of)),
            ("target_cm2", gas.target_cm2.map(number_of)),
            ("wall_cm2", gas.wall_cm2.map(number_of)),
            ("up_sccm_v", pairs(&gas.up)),
            ("down_sccm_v", pairs(&gas.down)),
        ],
    );
    for colour in &gas.colours {
        text.push_str(&below(
            "[[coater.gas.colour]]",
            &[
                ("flow_sccm", Some(number_of(colour.flow_sccm))),
                ("lab", Some(format!("[{}]", colour.lab.map(number_of).join(", ")))),
                ("light", Some(quoted(&colour.light))),
                ("observer", Some(colour.observer.to_string())),
                ("branch", colour.compound.then(|| quoted("compound"))),
            ],
        ));
    }
    text
}
