//! Finishes of library materials, built without a file.

use huewright::ribbon::bare;
use library::{FilmSpec, FinishFile, MaterialRef};

/// A library material; `source` empty: the default one.
pub fn material(id: &str, source: &str) -> MaterialRef {
    let source = (!source.is_empty()).then(|| source.to_owned());
    MaterialRef::Library { id: id.to_owned(), source }
}

/// A bare mirror of a library material.
pub fn base(id: &str, source: &str) -> FinishFile {
    let mut finish = bare(id);
    finish.base.material = material(id, source);
    finish
}

/// A film without spread, pores or composition.
pub fn film(material: MaterialRef, thickness_nm: f64) -> FilmSpec {
    FilmSpec { material, thickness_nm, thickness_sd_nm: 0.0, spread: 0.0, porosity: 0.0, composition: None }
}

/// One film on a base, all by library ids and sources.
pub fn coated(base_id: (&str, &str), film_id: (&str, &str), thickness_nm: f64) -> FinishFile {
    let mut finish = base(base_id.0, base_id.1);
    finish.films.push(film(material(film_id.0, film_id.1), thickness_nm));
    finish
}

/// A base and films of one n and k each.
pub fn inline(base: (f64, f64), films: &[(f64, f64, f64)]) -> FinishFile {
    let mut finish = bare("silicon");
    finish.base.material = MaterialRef::Inline { n: base.0, k: base.1 };
    finish.films = films.iter().map(|(n, k, d)| film(MaterialRef::Inline { n: *n, k: *k }, *d)).collect();
    finish
}
