//! `huewright look`.

use crate::arguments::LookArgs;
use crate::input;
use crate::outcome::{Failure, Outcome};
use crate::paint::{self, Painter, say};
use huewright::look::{look, why};
use huewright::{Engine, Geometry};

pub(crate) fn run(engine: &Engine, a: &LookArgs) -> Result<Outcome, Failure> {
    let finish = input::finish(engine, &a.finish)?;
    let conditions = input::conditions(&a.view)?;
    let seen = look(engine, &finish, &conditions)
        .map_err(|fault| Failure::InFile { file: a.finish.display().to_string(), fault: Box::new(fault) })?;
    if a.show.json {
        let mut json = serde_json::to_value(&seen).map_err(|e| Failure::Words(e.to_string()))?;
        if a.show.why {
            json["why"] =
                serde_json::to_value(why(engine, &finish, &conditions)).map_err(|e| Failure::Words(e.to_string()))?;
        }
        say(json.to_string())?;
        return Ok(Outcome::Done);
    }
    let paint = Painter::new(a.show.swatches);
    let title = finish.name.clone().unwrap_or_else(|| a.finish.display().to_string());
    say(format!("{title}: {}, order {}", seen.shown.name, seen.order))?;
    if paint.draws() {
        for _ in 0..3 {
            say(format!("  {}", paint.patch(&seen.shown.srgb, 24)))?;
        }
    }
    let gamut = if seen.shown.srgb_out_of_gamut { " (outside sRGB, chroma reduced)" } else { "" };
    say(format!("  {}   sRGB {}{gamut}", paint::lab(seen.lab), seen.shown.srgb))?;
    say(format!(
        "  light {}, observer {} degrees, tilt {} degrees, specular {}",
        a.view.light,
        conditions.observer,
        conditions.tilt_deg,
        match conditions.geometry {
            Geometry::Included => "included",
            Geometry::Excluded => "excluded",
            Geometry::Specular => "reflection alone",
        }
    ))?;
    let at = |nm: f64| {
        seen.spectrum.wavelength_nm.iter().position(|w| (w - nm).abs() < 0.1).map(|i| seen.spectrum.reflectance[i])
    };
    let some: Vec<String> = [400.0, 450.0, 500.0, 550.0, 600.0, 650.0, 700.0]
        .iter()
        .filter_map(|nm| at(*nm).map(|r| format!("{nm} nm {:.1} %", 100.0 * r)))
        .collect();
    say(format!("  reflectance: {}", some.join(", ")))?;
    paint::notes(&seen.notes)?;
    if a.show.why {
        paint::sources(&why(engine, &finish, &conditions))?;
    }
    Ok(Outcome::Done)
}
