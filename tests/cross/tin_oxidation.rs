//! Oxide on titanium nitride heated in air: the arithmetic of the library's law. As physics it is good to a factor of three.

use huewright::Engine;
use huewright_tests::accuracy::record;
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use routes::Draw;
use routes::heat::Heat;

/// One electronvolt a particle in kJ/mol (SI 2019).
const KJ_PER_MOL_PER_EV: f64 = 96.485_332_12;

/// The library's law of titanium nitride.
fn law() -> Heat {
    let engine = Engine::new().unwrap();
    let table = engine.library().oxidation("tin").unwrap();
    let law = table.law.as_ref().unwrap();
    Heat {
        activation_kj_per_mol: law.activation_kj_per_mol,
        k0_nm2_per_s: law.k0_nm2_per_s,
        factor: law.factor,
        consumed: table.consumed,
        repeatability_c: 0.0,
    }
}

fn thickness(heat: &Heat, temperature_c: f64, minutes: f64) -> f64 {
    heat.grow(temperature_c, minutes, 0.0, Draw::default()).thickness_nm
}

const ORIGIN: Origin<'_> = Origin {
    chapter: "tin-oxidation",
    source: "h^2 = k t: Tompkins, J. Appl. Phys. 71, 980 (1992), joined with Appl. Phys. Lett. 76, 3194 (2000)",
    status: "derived; as physics good to a factor of 3",
};

#[test]
fn thickness_against_temperature_and_time() {
    let heat = law();
    let mut by_law = Worst::default();
    for r in read("cross/tin-oxidation/thickness.csv") {
        let (t, minutes) = (r.number("temperature_c"), r.number("time_min"));
        let at = format!("{t} C, {minutes} min");
        by_law.see(at, thickness(&heat, t, minutes), r.number("thickness_nm"), r.number("tolerance_nm"));
    }
    assert_eq!(by_law.count, 55);
    let mut other = Worst::default();
    for r in read("cross/tin-oxidation/other-activation-energies.csv") {
        let (ev, t) = (r.number("activation_ev"), r.number("temperature_c"));
        // The same 4 nm^2/s at 773 K with another energy.
        let probe = Heat { activation_kj_per_mol: ev * KJ_PER_MOL_PER_EV, k0_nm2_per_s: 1.0, ..heat };
        let pinned = Heat { k0_nm2_per_s: 4.0 / probe.rate_nm2_per_s(773.0 - 273.15), ..probe };
        let ours = thickness(&pinned, t, r.number("time_min"));
        other.see(format!("{t} C, {ev} eV"), ours, r.number("thickness_nm"), r.number("tolerance_nm"));
    }
    assert_eq!(other.count, 12);
    let mut worked = Worst::default();
    for r in read("cross/tin-oxidation/worked.csv") {
        let ours = match r.text("quantity") {
            "activation_kcal_mol" => heat.activation_kj_per_mol / 4.184,
            "activation_ev" => heat.activation_kj_per_mol / KJ_PER_MOL_PER_EV,
            "k0_nm2_s" => heat.k0_nm2_per_s,
            "thickness_500c_60min_nm" => thickness(&heat, 500.0, 60.0),
            "thickness_450c_60min_nm" => thickness(&heat, 450.0, 60.0),
            // A rate of seven times: columnar films.
            "columnar_over_dense" => {
                let columnar = Heat { k0_nm2_per_s: 7.0 * heat.k0_nm2_per_s, ..heat };
                thickness(&columnar, 500.0, 60.0) / thickness(&heat, 500.0, 60.0)
            }
            // Densities from memory: no oracle, and the law does not use the rutile one.
            "oxide_over_nitride_rutile" => continue,
            "oxide_over_nitride_anatase" => 1.0 / heat.consumed,
            other => panic!("'{other}' is not known here"),
        };
        worked.see(r.text("quantity"), ours, r.number("value"), r.number("tolerance"));
    }
    record(
        "tin-oxidation",
        vec![
            by_law.row(ORIGIN, "1-thickness", "oxide on titanium nitride, 11 temperatures by 5 times", "nm"),
            other.row(ORIGIN, "2-other-energies", "oxide on titanium nitride with 1.40 and 2.05 eV", "nm"),
            worked.row(ORIGIN, "3-worked", "constants and single values", "as the value"),
        ],
    );
}
