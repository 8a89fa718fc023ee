//! The colour while a film grows in the chamber.

use super::answer::Layers;
use super::grade::Grade;
use crate::engine::Engine;
use crate::error::Fault;
use crate::finish::Eye;
use crate::json::lab_array;
use colour::{Lab, Xyz};
use library::{FilmSpec, FinishFile};

/// Moments of the growth that are told.
const MOMENTS: u32 = 61;

/// The colours of `film` on `below` while it grows, with its grade and by how much its slices are off.
///
/// # Errors
/// [`Fault`] when a material is not known.
pub(crate) fn layers(
    engine: &Engine,
    eye: &Eye<'_>,
    below: &FinishFile,
    film: &FilmSpec,
    grade: Option<&(Grade, f64)>,
) -> Result<Layers, Fault> {
    let at = |i: u32| f64::from(i) / f64::from(MOMENTS - 1);
    let thickness_nm: Vec<f64> = (0..MOMENTS).map(|i| film.thickness_nm * at(i)).collect();
    let seen: Vec<(Lab, Xyz, Xyz)> = match grade {
        None => {
            let mut finish = below.clone();
            finish.films.push(film.clone());
            let built = engine.build(&finish)?;
            let seen = eye.see_turned(&built, finish.films.len() - 1, &thickness_nm)?;
            seen.into_iter().map(|s| (s.lab, s.xyz, s.white)).collect()
        }
        Some((grade, _)) => (0..MOMENTS)
            .map(|i| {
                let mut finish = below.clone();
                finish.films.extend(begun(&grade.films(film, 0.0, [0.0, 1.0]), thickness_nm[i as usize]));
                let built = engine.build(&finish)?;
                let seen = eye.see(&built, built.values())?;
                Ok((seen.lab, seen.xyz, seen.white))
            })
            .collect::<Result<_, Fault>>()?,
    };
    let shown: Vec<_> = seen.iter().map(|(lab, xyz, white)| engine.swatch(*xyz, *white, *lab)).collect();
    let word: Vec<String> = shown.iter().map(|s| s.name.clone()).collect();
    let mut passed = word.clone();
    passed.dedup();
    let mut words = vec![format!("while it grows it is {}", passed.join(", "))];
    if let Some((grade, error)) = grade {
        words.push(format!(
            "{} even slices stand for the change of composition; endlessly many would change the colour by {error:.3} (CIEDE2000)",
            grade.slices
        ));
    }
    Ok(Layers {
        composition: match grade {
            Some((grade, _)) => Some((0..MOMENTS).map(|i| grade.at(at(i))).collect()),
            None => film.composition.map(|c| vec![c; MOMENTS as usize]),
        },
        lab: seen.iter().map(|s| lab_array(s.0)).collect(),
        srgb: shown.into_iter().map(|s| s.srgb).collect(),
        word,
        slices: grade.map_or(1, |g| g.0.slices),
        error_delta_e: grade.map(|g| g.1),
        thickness_nm,
        words,
    })
}

/// The slices that are there when `nm` have grown.
fn begun(slices: &[FilmSpec], nm: f64) -> Vec<FilmSpec> {
    let mut left = nm;
    let mut list = Vec::new();
    for slice in slices {
        if left <= 0.0 {
            break;
        }
        list.push(FilmSpec { thickness_nm: slice.thickness_nm.min(left), ..slice.clone() });
        left -= slice.thickness_nm;
    }
    list
}
