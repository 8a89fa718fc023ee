//! Can this supply do this part, how long, with how much charge and hydrogen.

use super::answer::Sizing;
use super::work::Work;
use library::Anodiser;
use routes::anodising::Course;
use routes::charge::hydrogen_ml;

/// How long a person waits for a rack, s: own judgement.
const RACK_S: f64 = 600.0;
/// Current density that a trade page asks for above 50 V, A/cm2 (0.1 A/in2; common practice, oxide-growth.md C13).
const SURGE_A_PER_CM2: f64 = 0.0155;
/// Volts from which it does.
const SURGE_V: f64 = 50.0;

/// What `course` asked of the supply.
pub(super) fn sizing(
    work: &Work<'_>,
    supply: Option<&Anodiser>,
    course: &Course,
    wet_cm2: f64,
    (volts, reached): (f64, bool),
) -> Option<Sizing> {
    let size = work.size.as_ref()?;
    let charge_c = course.end().charge_c;
    let peak = course.peak_a();
    let most = supply.and_then(|s| s.max_current_a);
    let mut words = vec![format!(
        "{charge_c:.1} C in all, {} of hydrogen at the cathode (25 C, 1 atm)",
        millilitres(hydrogen_ml(charge_c))
    )];
    let mut most_parts = None;
    if let Some(most_a) = most {
        let one = charge_c / f64::from(size.count);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "not negative, and clamped")]
        let parts = (RACK_S * most_a / one).floor().clamp(0.0, 1e6) as u32;
        // What is not reached for one is not reached for many, and a fade is lifted one by one.
        most_parts = reached.then_some(parts);
        let limited_s: f64 =
            course.moments.windows(2).filter(|w| w[1].limited).map(|w| w[1].time_s - w[0].time_s).sum();
        if limited_s > 0.05 {
            words.push(format!(
                "the supply gives its {most_a} A for the first {limited_s:.1} s; the metal would take more"
            ));
        }
        words.extend(reached.then(|| match parts {
            0 => format!("more than ten minutes at {most_a} A for one part: a stronger supply, or colour it in areas"),
            n => format!("at {most_a} A this supply brings {n} such part{} to this voltage within ten minutes, if the rack fits the bath", if n == 1 { "" } else { "s" }),
        }));
        if volts > SURGE_V && most_a / wet_cm2 < SURGE_A_PER_CM2 {
            words.push(format!(
                "above {SURGE_V} V a trade rule asks for {} mA/cm2 in the surge, for full colours (common practice, no measurement); this supply gives {:.1} on this area",
                1e3 * SURGE_A_PER_CM2,
                1e3 * most_a / wet_cm2
            ));
        }
    }
    Some(Sizing {
        area_cm2: wet_cm2,
        peak_current_a: peak,
        supply_current_a: most,
        charge_c,
        hydrogen_ml: hydrogen_ml(charge_c),
        energy_j: course.energy_j(),
        most_parts,
        words,
    })
}

fn millilitres(ml: f64) -> String {
    if ml < 1.0 { format!("{ml:.2} mL") } else { format!("{ml:.1} mL") }
}
