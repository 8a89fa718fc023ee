//! Questions with the native answers, as JSON lines: the browser's module is asked the same (ui/tests/parity.test.mjs).

#![expect(clippy::print_stdout, reason = "this is a tool for the terminal")]

use desk::{Desk, QUESTIONS};
use serde_json::{Value, json};

/// Numbers of a recurrence with known constants (Numerical Recipes' quick generator, from memory): any fixed sequence
/// will do, the same on every machine.
struct Sequence(u32);

impl Sequence {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(self.0) / f64::from(u32::MAX)
    }

    fn pick<'v>(&mut self, values: &[&'v str]) -> &'v str {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of a short list")]
        let place = (self.share() * values.len() as f64) as usize;
        values[place.min(values.len() - 1)]
    }
}

fn finish(s: &mut Sequence) -> Value {
    let bases = ["titanium", "niobium", "stainless-austenitic", "copper", "silicon", "gold", "chromium"];
    let films =
        ["titania-anodic", "niobia", "silica", "tin", "tialn", "titanium-oxynitride", "temper-oxide", "hematite"];
    let textures = ["mirror", "mirror", "satin", "blasted", "400 grit"];
    let count = [0, 1, 1, 2, 3][(s.share() * 4.99) as usize];
    let film: Vec<Value> = (0..count)
        .map(|_| {
            let spread = if s.share() < 0.3 { 0.1 * s.share() } else { 0.0 };
            json!({ "material": s.pick(&films), "thickness_nm": 400.0 * s.share(), "spread": spread,
                    "porosity": 0.3 * s.share() })
        })
        .collect();
    let over =
        if s.share() < 0.2 { json!([{ "material": "lacquer", "thickness_um": 25.0 * s.share() }]) } else { json!([]) };
    json!({ "base": { "material": s.pick(&bases), "texture": s.pick(&textures) }, "film": film, "over": over,
            "medium": s.pick(&["air", "water"]) })
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let desk = Desk::open()?;
    let mut asked: Vec<(String, String)> =
        QUESTIONS.iter().map(|q| (q.name.to_owned(), q.example.to_owned())).collect();
    let mut s = Sequence(20_261_125);
    for _ in 0..200 {
        let view = json!({ "light": s.pick(&["D65", "A", "F11", "LED-B3"]), "observer": s.pick(&["2", "10"]),
                           "tilt_deg": 80.0 * s.share() });
        asked.push(("look".to_owned(), json!({ "finish": finish(&mut s), "view": view }).to_string()));
    }
    let shelf: Value = serde_json::from_str(&desk.ask("shelf", "{}", &mut |_, _| ())?)?;
    for bench in shelf["benches"].as_array().into_iter().flatten().take(3) {
        let request = json!({ "kind": "workshop", "name": "bench.toml", "text": bench["text"] }).to_string();
        let read: Value = serde_json::from_str(&desk.ask("read", &request, &mut |_, _| ())?)?;
        let request = json!({ "colour": "#27509b", "workshop": read["value"] }).to_string();
        asked.push(("match".to_owned(), request));
    }
    // What is refused must be refused alike.
    asked.push(("look".to_owned(), "{\"finish\":{\"base\":{\"material\":\"titanum\"}}}".to_owned()));
    asked.push(("quantity".to_owned(), "{\"key\":\"max_voltage_v\",\"text\":\"60 nm\"}".to_owned()));
    for (question, request) in asked {
        let line = match desk.ask(&question, &request, &mut |_, _| ()) {
            Ok(answer) => {
                json!({ "question": question, "request": request, "answer": serde_json::from_str::<Value>(&answer)? })
            }
            Err(refusal) => {
                json!({ "question": question, "request": request, "refusal": serde_json::from_str::<Value>(&refusal.json())? })
            }
        };
        println!("{line}");
    }
    Ok(())
}
