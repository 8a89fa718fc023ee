//! Heat through a programme against adaptive integration (scipy), constants that are none of ours.

use huewright_tests::accuracy::record;
use huewright_tests::tables::read;
use huewright_tests::worst::{Origin, Worst};
use routes::Draw;
use routes::heat::Heat;
use routes::programme::{Leg, Programme};

const ORIGIN: Origin<'_> = Origin {
    chapter: "heat-programme",
    source: "adaptive Gauss and Kronrod (scipy 1.17.1, quad); the hold in closed form",
    status: "second method, other constants",
};
/// Pieces of a leg, as a plan takes them.
const PIECES: u32 = 120;

#[test]
fn ramps_holds_and_cooling_agree_with_adaptive_integration() {
    let programmes = read("cross/heat-programme/programmes.csv");
    let expected = read("cross/heat-programme/thickness.csv");
    assert_eq!(programmes.len(), expected.len());
    let (mut smooth, mut cut) = (Worst::default(), Worst::default());
    for (r, e) in programmes.iter().zip(&expected) {
        let [peak_c, ramp, minutes, cool] = r.numbers(["peak_c", "ramp_c_per_min", "minutes", "cool_minutes"]);
        let law = Heat {
            activation_kj_per_mol: r.number("activation_kj_per_mol"),
            k0_nm2_per_s: r.number("k0_nm2_per_s"),
            factor: 1.0,
            consumed: 0.5,
            repeatability_c: 0.0,
        };
        let programme = Programme {
            from_c: 20.0,
            legs: vec![
                Leg::Ramp { to_c: peak_c, seconds: 60.0 * (peak_c - 20.0) / ramp },
                Leg::Hold { seconds: 60.0 * minutes },
                Leg::Cool { room_c: 20.0, constant_s: 60.0 * cool, seconds: 300.0 * cool },
            ],
        };
        let from_law_c = r.number("from_law_c");
        let course = programme.course(&law, from_law_c, r.number("existing_nm"), Draw::default(), PIECES);
        let leg = PIECES as usize;
        for (column, at) in [("after_ramp_nm", leg), ("after_hold_nm", 2 * leg), ("cold_nm", 3 * leg)] {
            let (worst, tolerance) = if from_law_c > 0.0 { (&mut cut, 1e-3) } else { (&mut smooth, 1e-8) };
            let place = format!("row {}, {column}", e.text("row"));
            worst.see(place, course[at].thickness_nm / e.number(column), 1.0, tolerance);
        }
    }
    let begins = "the same where the law begins at a temperature within the programme";
    let cut_row = cut.row(ORIGIN, "cut", begins, "of the thickness");
    record(
        "heat-programme",
        vec![smooth.row(ORIGIN, "smooth", "oxide after ramp, hold and cooling", "of the thickness"), cut_row],
    );
}
