//! Blues of an oxide on a nitride, and what to use instead: the first is slate, the second moves too fast.

use crate::engine::Engine;
use crate::error::Fault;
use crate::finish::Eye;
use crate::matching::enumerate::id_of;
use colour::{Lab, ciede2000};
use library::{Class, FilmSpec, FinishFile, MaterialRef};

/// Hue angles that are blue, degrees: own choice, about the trade words sky to violet.
const BLUE_DEG: [f64; 2] = [215.0, 300.0];
/// Thicknesses of a dark nitride that are tried, nm, and compositions as shares of what is made.
const DARK_NM: [u32; 2] = [15, 60];
const DARK_SHARES: [f64; 3] = [0.0, 0.5, 1.0];
/// It is worth telling when the other is more vivid by this share, or moves more slowly by it: own choice.
const BETTER: f64 = 1.25;

/// What makes a better blue than the oxide on a nitride that `finish` ends in; `None` when it ends otherwise, is not
/// blue, or nothing is better.
///
/// # Errors
/// [`Fault`] when a material is not known.
pub(crate) fn instead(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Result<Option<String>, Fault> {
    let [.., below, top] = &finish.films[..] else { return Ok(None) };
    let class = |film: &FilmSpec| id_of(&film.material).and_then(|id| Some(engine.library().entry(id).ok()?.class));
    if class(top) != Some(Class::Oxide) || class(below) != Some(Class::Nitride) {
        return Ok(None);
    }
    let (here, moves) = blue(engine, eye, finish)?;
    let Some(here) = here else { return Ok(None) };
    let mut best: Option<(FilmSpec, Lab, f64)> = None;
    for entry in engine.library().entries().iter().filter(|e| e.class == Class::Nitride) {
        let Some(family) = entry.family.as_ref().filter(|_| Some(entry.id.as_str()) != id_of(&below.material)) else {
            continue;
        };
        for share in DARK_SHARES {
            for nm in DARK_NM[0]..=DARK_NM[1] {
                let film = FilmSpec {
                    material: MaterialRef::Library { id: entry.id.clone(), source: None },
                    thickness_nm: f64::from(nm),
                    thickness_sd_nm: 0.0,
                    composition: Some(family.made[0] + share * (family.made[1] - family.made[0])),
                    ..top.clone()
                };
                let mut other = finish.clone();
                other.films.pop();
                other.films.push(film.clone());
                if let (Some(lab), moves) = blue(engine, eye, &other)?
                    && best.as_ref().is_none_or(|(_, seen, _)| lab.lch().c > seen.lch().c)
                {
                    best = Some((film, lab, moves));
                }
            }
        }
    }
    let Some((film, lab, dark_moves)) = best else { return Ok(None) };
    let oxide = id_of(&top.material).unwrap_or("the oxide");
    let nitride = id_of(&below.material).unwrap_or("the nitride");
    let other = format!(
        "{:.0} nm of {} (composition {:.2}) on it is {}, chroma {:.0}, and moves by {dark_moves:.1} each nm",
        film.thickness_nm,
        id_of(&film.material).unwrap_or_default(),
        film.composition.unwrap_or(0.0),
        engine.names().name(lab),
        lab.lch().c
    );
    Ok((lab.lch().c > BETTER * here.lch().c || moves > BETTER * dark_moves).then(|| {
        format!(
            "this blue of {oxide} on {nitride} is {}, chroma {:.0}, and moves by {moves:.1} (CIEDE2000) each nm; a dark nitride instead: {other}",
            engine.names().name(here),
            here.lch().c
        )
    }))
}

/// The colour of a finish where it is blue, and how far one nm of its outermost film moves it.
fn blue(engine: &Engine, eye: &Eye<'_>, finish: &FinishFile) -> Result<(Option<Lab>, f64), Fault> {
    let built = engine.build(finish)?;
    let last = finish.films.len() - 1;
    let nm = finish.films[last].thickness_nm;
    let seen = eye.see_turned(&built, last, &[nm, (nm - 0.5).max(0.0), nm + 0.5])?;
    let lab = seen[0].lab;
    let hue = libm::atan2(lab.b, lab.a).to_degrees().rem_euclid(360.0);
    let is_blue = (BLUE_DEG[0]..=BLUE_DEG[1]).contains(&hue);
    Ok((is_blue.then_some(lab), ciede2000(seen[1].lab, seen[2].lab)))
}
