//! What is in the library, from whom, and how far do the tables disagree?

use crate::engine::{Conditions, Engine};
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::{Swatch, lab_array};
use crate::provenance::Source;
use crate::ribbon::bare;
use colour::{Lab, ciede2000};
use library::{Class, Entry, FilmSpec, FinishFile, MaterialRef, Role};
use serde::Serialize;

/// One id of the library.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MaterialRow {
    /// The id.
    pub id: String,
    /// What it is.
    pub words: String,
    /// `base`, `film`, `over`.
    pub roles: Vec<&'static str>,
    /// What the swatch shows, such as `50 nm on titanium`.
    pub shown: String,
    /// L*, a*, b* of the swatch with the default table.
    pub lab: [f64; 3],
    /// The swatch ready for screens, with its trade word.
    #[serde(flatten)]
    pub seen: Swatch,
    /// Largest difference (CIEDE2000) between the swatches of any two tables; `None` with one table.
    pub spread_between_tables: Option<f64>,
    /// What the slider means, if there is one.
    pub family: Option<String>,
    /// Whether the default stands in for a missing table.
    pub stand_in: bool,
    /// Sources, the default first.
    pub sources: Vec<Source>,
    /// `#rrggbb` of each source, in the same order.
    pub swatches: Vec<String>,
    /// The same ready for every screen.
    pub by_source: Vec<Swatch>,
}

/// All materials, with swatch, source, caveat and the spread between tables.
///
/// # Errors
/// [`Fault`] for an unknown light or observer.
pub fn materials(engine: &Engine, conditions: &Conditions) -> Result<Vec<MaterialRow>, Fault> {
    let eye = Eye::new(engine, conditions)?;
    engine.library().entries().iter().map(|entry| row(engine, &eye, entry)).collect()
}

fn row(engine: &Engine, eye: &Eye<'_>, entry: &Entry) -> Result<MaterialRow, Fault> {
    let mut labs: Vec<Lab> = Vec::new();
    let mut swatches = Vec::new();
    let heads = engine.library().sources(&entry.id);
    for head in &heads {
        let finish = shown(entry, &head.source);
        let built = engine.build(&finish)?;
        let seen = eye.see(&built, built.values())?;
        swatches.push(engine.swatch(seen.xyz, seen.white, seen.lab));
        labs.push(seen.lab);
    }
    let mut spread: Option<f64> = None;
    for (i, a) in labs.iter().enumerate() {
        for b in &labs[i + 1..] {
            let difference = ciede2000(*a, *b);
            spread = Some(spread.map_or(difference, |s| s.max(difference)));
        }
    }
    let first = swatches
        .first()
        .cloned()
        .unwrap_or_else(|| engine.swatch_of(Lab { l: 0.0, a: 0.0, b: 0.0 }, eye.viewing().white()));
    Ok(MaterialRow {
        id: entry.id.clone(),
        words: entry.words.clone(),
        roles: entry
            .roles
            .iter()
            .map(|r| match r {
                Role::Base => "base",
                Role::Film => "film",
                Role::Over => "over",
            })
            .collect(),
        shown: match (&entry.shown, is_seen_bare(entry)) {
            (Some(s), false) => format!("{} nm on {}", s.thickness_nm, s.on),
            (_, true) => "bare and thick".to_owned(),
            (None, false) => "50 um over chromium".to_owned(),
        },
        lab: lab_array(labs.first().copied().unwrap_or(Lab { l: 0.0, a: 0.0, b: 0.0 })),
        seen: first,
        spread_between_tables: spread,
        family: entry.family.as_ref().map(|f| format!("composition {} to {}: {}", f.range[0], f.range[1], f.words)),
        stand_in: heads.first().is_some_and(|h| h.stand_in.is_some()),
        sources: heads.iter().map(|h| engine.source_of_head(h)).collect(),
        swatches: swatches.iter().map(|s| s.srgb.clone()).collect(),
        by_source: swatches,
    })
}

/// Bases are shown bare; everything else as a film.
fn is_seen_bare(entry: &Entry) -> bool {
    entry.roles.contains(&Role::Base) && matches!(entry.class, Class::Metal | Class::Semiconductor)
}

fn shown(entry: &Entry, source: &str) -> FinishFile {
    let material = MaterialRef::Library { id: entry.id.clone(), source: Some(source.to_owned()) };
    if is_seen_bare(entry) {
        let mut finish = bare(&entry.id);
        finish.base.material = material;
        return finish;
    }
    match &entry.shown {
        Some(s) => {
            let mut finish = bare(&s.on);
            finish.films.push(FilmSpec {
                material,
                thickness_nm: s.thickness_nm,
                thickness_sd_nm: 0.0,
                spread: 0.0,
                porosity: 0.0,
                composition: None,
            });
            finish
        }
        None => {
            let mut finish = bare("chromium");
            finish.over.push(library::CoatSpec { material, thickness_um: 50.0 });
            finish
        }
    }
}
