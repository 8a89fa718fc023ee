//! Indices by formula: free and bound electrons, Cauchy, and straight lines in a table, written once more.

use optics::{Cx, Dispersion, Oscillator, Parameter};

/// Planck constant, speed of light, elementary charge (SI 2019, exact).
const PLANCK: f64 = 6.626_070_15e-34;
const LIGHT: f64 = 299_792_458.0;
const CHARGE: f64 = 1.602_176_634e-19;

/// A complex quotient of real numbers over `re + i im`.
fn over(top: f64, re: f64, im: f64) -> Cx<f64> {
    let size = re * re + im * im;
    Cx::of(top * re / size, -top * im / size)
}

#[test]
fn free_and_bound_electrons() {
    let (plasma, damping) = ([72.25, 47.61], 0.448);
    let (strength, energy, width) = (1.852, 3.831, 2.021);
    let model = Dispersion::DrudeLorentz {
        epsilon_infinity: Parameter::fixed(1.3),
        plasma_ev2: Parameter::piecewise(vec![0.0, 1.0], plasma.to_vec()).unwrap(),
        damping_ev: Parameter::fixed(damping),
        oscillators: vec![Oscillator {
            strength: Parameter::fixed(strength),
            energy_ev: Parameter::fixed(energy),
            width_ev: Parameter::fixed(width),
        }],
    };
    for nm in [380.0, 470.0, 550.0, 633.0, 780.0] {
        for composition in [0.0, 0.3, 1.0] {
            let e = PLANCK * LIGHT / (nm * 1e-9) / CHARGE;
            let plasma = plasma[0] + composition * (plasma[1] - plasma[0]);
            let free = over(plasma, e * e, damping * e);
            let bound = over(strength * energy * energy, energy * energy - e * e, -width * e);
            let epsilon = Cx::of(1.3, 0.0) - free + bound;
            let index = model.index(nm, composition);
            let off = index * index - epsilon;
            assert!(off.norm_sqr().sqrt() <= 1e-11, "{nm} {composition}: {off:?}");
            assert!(index.im >= 0.0, "electrons take light away");
        }
    }
}

#[test]
fn cauchy_and_tables() {
    let cauchy = Dispersion::Cauchy { a: 1.45, b_um2: 0.004, c_um4: 1e-4, k: 0.01 };
    let by_hand = 1.45 + 0.004 / 0.25 + 1e-4 / 0.0625;
    assert!((cauchy.index(500.0, 0.0) - Cx::of(by_hand, 0.01)).norm_sqr().sqrt() <= 1e-14);
    let table =
        Dispersion::Table { wavelength_nm: vec![400.0, 410.0, 500.0], n: vec![2.0, 2.2, 1.3], k: vec![0.0, 0.5, 0.5] };
    for (nm, n, k) in [(300.0, 2.0, 0.0), (405.0, 2.1, 0.25), (410.0, 2.2, 0.5), (455.0, 1.75, 0.5), (999.0, 1.3, 0.5)]
    {
        assert!((table.index(nm, 0.0) - Cx::of(n, k)).norm_sqr().sqrt() <= 1e-14, "{nm}");
    }
    let raised = Dispersion::WithExtinction { of: Box::new(table), k: 0.9 };
    assert!((raised.index(405.0, 0.0) - Cx::of(2.1, 0.9)).norm_sqr().sqrt() <= 1e-14);
}
