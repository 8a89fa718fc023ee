//! Pieces of two recipes beside one another.

use huewright::plan::{Plan, PlanRequest, plan};
use huewright::{Conditions, Engine};
use huewright_tests::plans::recipe;

fn disc(metal: &str, volts: f64) -> String {
    format!(
        "schema = 1\nname = \"{metal}\"\n[part]\nmetal = \"{metal}\"\n[part.shape]\nkind = \"disc\"\ndiameter_mm = 20\n\
         thickness_mm = 1\n[[bath]]\nname = \"jar\"\nelectrolyte = \"ammonium-sulfate\"\npercent = 1\n[[anodiser]]\n\
         name = \"supply\"\nkind = \"regulated\"\nisolated = true\nmax_voltage_v = 110\nmax_current_a = 3\n\
         repeatability_v = 0.5\n[[step]]\nroute = \"anodise\"\nvoltage_v = {volts}\n"
    )
}

fn beside(engine: &Engine, one: &str, two: &str) -> Plan {
    let (one, two) = (recipe(engine, one), recipe(engine, two));
    let request = PlanRequest { recipe: &one, workshop: None, part: None, beside: Some(&two) };
    plan(engine, &request, &Conditions::default()).unwrap()
}

/// A recipe beside itself is two runs of it: the chance is that of a pair, as far as 300 samples tell (four standard
/// deviations of two such shares: 0.16).
#[test]
fn a_recipe_beside_itself_is_a_pair() {
    let engine = Engine::new().unwrap();
    for volts in [12.0, 25.0, 50.0] {
        let text = disc("titanium", volts);
        let found = beside(&engine, &text, &text);
        let (other, pair) = (found.alike.beside.unwrap(), found.areas[0].chance_match.unwrap());
        assert!(other.delta_e.abs() < 1e-12 && other.feasible);
        assert!((other.chance_match.unwrap() - pair).abs() < 0.16, "{volts} V: {other:?} {pair}");
    }
}

/// Two metals share no law: their pieces match less often than two pieces of one.
#[test]
fn two_metals_match_less_often_than_one() {
    let engine = Engine::new().unwrap();
    let found = beside(&engine, &disc("titanium", 25.0), &disc("niobium", 15.0));
    let (other, pair) = (found.alike.beside.unwrap(), found.areas[0].chance_match.unwrap());
    assert!(other.chance_match.unwrap() < pair, "{other:?} {pair}");
}
