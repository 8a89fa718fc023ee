//! `huewright materials`.

use crate::arguments::MaterialsArgs;
use crate::outcome::{Failure, Outcome};
use crate::paint::{Painter, say, wrapped};
use huewright::materials::{MaterialRow, materials};
use huewright::{Conditions, Engine};

pub(crate) fn run(engine: &Engine, a: &MaterialsArgs) -> Result<Outcome, Failure> {
    for id in &a.ids {
        engine.library().entry(id).map_err(|p| Failure::from(p.in_file("materials")))?;
    }
    let mut rows = materials(engine, &Conditions::default())?;
    if !a.ids.is_empty() {
        rows.retain(|r| a.ids.contains(&r.id));
    }
    if a.show.json {
        let json = serde_json::json!({ "schema": 1, "materials": rows });
        say(json.to_string())?;
        return Ok(Outcome::Done);
    }
    let paint = Painter::new(a.show.swatches);
    for row in &rows {
        print(row, paint, a.show.why || !a.ids.is_empty())?;
    }
    if a.ids.is_empty() {
        say("")?;
        let baths: Vec<&str> =
            engine.library().electrolytes().iter().filter(|e| e.unfit.is_none()).map(|e| e.id.as_str()).collect();
        say(wrapped(&format!("Baths: {}", baths.join(", ")), 0, 98))?;
        say("")?;
        say(
            "`huewright materials ID` shows every source and caveat. A material of your own: material = { n = 2.3, k = 2.9 }",
        )?;
        say("or { table = \"my-metal.csv\" } with columns wavelength_nm,n,k.")?;
    }
    Ok(Outcome::Done)
}

fn print(row: &MaterialRow, paint: Painter, all: bool) -> Result<(), Failure> {
    let spread = match row.spread_between_tables {
        Some(d) => format!("{} tables, up to {d:.1} apart (CIEDE2000)", row.sources.len()),
        None => "one table".to_owned(),
    };
    let stand_in = if row.stand_in { ", stand-in" } else { "" };
    say(format!(
        "{} {:<22} {} ({}); {}{stand_in}",
        paint.patch(&row.seen.srgb, 6),
        row.id,
        row.words,
        row.roles.join(", "),
        spread
    ))?;
    if !all {
        let first = &row.sources[0];
        say(wrapped(&format!("{}: {}", first.which, first.citation), 9, 98))?;
        if let Some(caveat) = first.caveats.first() {
            say(wrapped(&format!("beware: {caveat}"), 9, 98))?;
        }
        return Ok(());
    }
    say(format!("         swatch: {}", row.shown))?;
    if let Some(family) = &row.family {
        say(wrapped(family, 9, 98))?;
    }
    for (i, (source, swatch)) in row.sources.iter().zip(&row.swatches).enumerate() {
        let default = if i == 0 { " (default)" } else { "" };
        say(format!("       {} {}{default}", paint.patch(swatch, 6), source.which))?;
        say(wrapped(&source.citation, 11, 98))?;
        say(wrapped(&source.status, 11, 98))?;
        for caveat in &source.caveats {
            say(wrapped(&format!("beware: {caveat}"), 11, 98))?;
        }
    }
    Ok(())
}
