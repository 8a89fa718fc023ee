//! The reactive balance: what must hold for every chamber, whatever its constants.

use huewright_tests::accuracy::record;
use huewright_tests::chance::Chance;
use huewright_tests::worst::{Origin, Worst};
use routes::reactive::{Balance, Gas};

const ORIGIN: Origin<'_> =
    Origin { chapter: "reactive-laws", source: "the balance itself, 300 chambers by chance", status: "law" };

fn chambers() -> Vec<Balance> {
    let mut chance = Chance::new(5);
    (0..300)
        .map(|_| {
            let mut log = |low: f64, high: f64| chance.between(low.ln(), high.ln()).exp();
            let (yield_metal, covered) = (log(0.2, 2.0), log(0.02, 0.9));
            let target_m2 = log(0.005, 0.3);
            Balance {
                target_m2,
                wall_m2: target_m2 * log(2.0, 100.0),
                current_a: target_m2 * log(30.0, 400.0),
                sticking_target: log(0.05, 1.0),
                sticking_wall: log(0.05, 1.0),
                yield_metal,
                yield_compound: covered * yield_metal,
                pumping_m3_s: target_m2 * log(0.5, 100.0),
                gas: *[Gas::NITROGEN, Gas::OXYGEN, Gas::ACETYLENE].get(log(1.0, 3.99) as usize - 1).unwrap(),
                temperature_k: 300.0,
            }
        })
        .collect()
}

#[test]
fn what_holds_for_every_chamber() {
    let (mut ratio, mut current, mut shut, mut same) =
        (Worst::default(), Worst::default(), Worst::default(), Worst::default());
    let mut jumps = 0;
    for (i, b) in chambers().iter().enumerate() {
        let at = || format!("chamber {i}");
        // Endless gas covers all: the rate falls to the ratio of the yields.
        ratio.see(at(), b.at_pressure(1e9).rate_share, b.yield_compound / b.yield_metal, 1e-6);
        // Flows go with the current, and so do pressures at the same state.
        let more = Balance { current_a: 3.0 * b.current_a, ..*b };
        let (turning, tripled) = (b.turning(), more.turning());
        assert_eq!(turning.is_some(), tripled.is_some());
        if let (Some(one), Some(three)) = (turning, tripled) {
            jumps += 1;
            for (a, c) in one.iter().zip(&three) {
                current.see(at(), c.flow_sccm / a.flow_sccm, 3.0, 1e-9);
            }
            assert!(one[0].flow_sccm > one[1].flow_sccm && one[1].flow_sccm > 0.0, "{b:?}");
        }
        // With the pump that is told to suffice nothing jumps, and with a little less the jump is small.
        let enough = b.pumping_without_hysteresis();
        assert!(Balance { pumping_m3_s: 1.001 * enough, ..*b }.turning().is_none(), "{b:?}");
        if let Some([up, down]) = (Balance { pumping_m3_s: 0.999 * enough, ..*b }).turning() {
            shut.see(at(), down.flow_sccm / up.flow_sccm, 1.0, 1e-4);
        }
        assert_eq!(turning.is_some(), b.pumping_m3_s < enough);
        // Along the curve nothing is negative, pressure covers more and more, and every state is found again by its flow.
        let curve = b.curve(60);
        for pair in curve.windows(2) {
            assert!(pair[1].pressure_pa > pair[0].pressure_pa);
            assert!(pair[1].target_compound >= pair[0].target_compound);
            assert!(pair[1].wall_compound >= pair[0].wall_compound && pair[1].rate_share <= pair[0].rate_share);
        }
        for s in &curve {
            assert!(s.flow_sccm > 0.0 && s.pumped_sccm > 0.0 && s.pumped_sccm < s.flow_sccm, "{s:?}");
            assert!((0.0..=1.0).contains(&s.target_compound) && (0.0..=1.0).contains(&s.wall_compound));
            let near = b.at_flow(s.flow_sccm);
            let best = near.iter().map(|n| (n.pressure_pa / s.pressure_pa - 1.0).abs()).fold(f64::INFINITY, f64::min);
            // Where it turns, a flow tells the pressure to the root of what it is known to.
            same.see(at(), best, 0.0, 1e-6);
        }
    }
    assert!(jumps > 60 && jumps < 280, "{jumps}");
    record(
        "reactive-laws",
        vec![
            ratio.row(ORIGIN, "1-ratio", "rate of a covered target over that of a bare one is Yc/Ym", "of the bare"),
            current.row(ORIGIN, "2-current", "turning flows at three times the current, over those at one", "times"),
            shut.row(
                ORIGIN,
                "3-shut",
                "lower over upper turning flow with a thousandth less than enough pumping",
                "of it",
            ),
            same.row(ORIGIN, "4-found", "pressure of a state found again from its flow", "of the pressure"),
        ],
    );
}

/// The width of the loop shrinks as the pump grows: coatings.md 3.4 (invariant), and 3.1.24 for TiN (published, S).
#[test]
fn more_pumping_narrows_the_loop() {
    for b in chambers().iter().take(60) {
        let mut before = f64::INFINITY;
        for factor in [0.02, 0.1, 0.3, 0.6, 0.9, 0.99] {
            let pumped = Balance { pumping_m3_s: factor * b.pumping_without_hysteresis(), ..*b };
            let [up, down] = pumped.turning().unwrap();
            let width = 1.0 - down.flow_sccm / up.flow_sccm;
            assert!(width < before && width > 0.0, "{b:?} {factor}");
            before = width;
        }
    }
}

/// No other turning points than the two: a fine scan never sees the flow turn elsewhere.
#[test]
fn the_flow_turns_twice_or_never() {
    for b in &chambers() {
        let turning = b.turning();
        let middle = b.curve(2)[0].pressure_pa;
        let mut flows = Vec::new();
        for i in 0..4000 {
            flows.push(b.at_pressure(middle * 10_f64.powf(-1.0 + 8.0 * f64::from(i) / 4000.0)).flow_sccm);
        }
        let rises: Vec<bool> = flows.windows(2).map(|w| w[1] > w[0]).collect();
        let turns = rises.windows(2).filter(|w| w[0] != w[1]).count();
        let wide = turning.is_none_or(|[up, down]| down.pressure_pa > 1.02 * up.pressure_pa);
        assert!(turns == if turning.is_some() { 2 } else { 0 } || !wide, "{turns} {b:?}");
    }
}
