//! Materials of the library as dispersions.

use library::{Head, InputError, Library, Number, Optical, Part, Problem, Terms};
use optics::{Dispersion, Oscillator, Parameter};
use std::collections::BTreeMap;

/// A source ready for the optics.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Compiled {
    /// One index.
    One(Dispersion),
    /// A film of two layers; the composition is the thickness share of the outer.
    Two { inner: Dispersion, outer: Dispersion },
}

/// All sources, by id and source.
pub(crate) type Catalogue = BTreeMap<(String, String), Compiled>;

/// Parts may refer to parts this deep; data files do not nest further.
const MAX_DEPTH: usize = 4;

pub(crate) fn compile(library: &Library) -> Result<Catalogue, InputError> {
    let mut catalogue = Catalogue::new();
    for entry in library.entries() {
        for head in library.sources(&entry.id) {
            let compiled = match &head.optical {
                Optical::Stack { inner, outer } => {
                    Compiled::Two { inner: part(library, head, inner, 0)?, outer: part(library, head, outer, 0)? }
                }
                _ => Compiled::One(dispersion(library, head, 0)?),
            };
            catalogue.insert((head.material.clone(), head.source.clone()), compiled);
        }
    }
    Ok(catalogue)
}

fn dispersion(library: &Library, head: &Head, depth: usize) -> Result<Dispersion, InputError> {
    Ok(match &head.optical {
        Optical::Table { wavelength_nm, n, k } => {
            Dispersion::Table { wavelength_nm: wavelength_nm.clone(), n: n.clone(), k: k.clone() }
        }
        Optical::Cauchy { a, b_um2, c_um4, k } => Dispersion::Cauchy { a: *a, b_um2: *b_um2, c_um4: *c_um4, k: *k },
        Optical::DrudeLorentz { epsilon_infinity, plasma_ev2, damping_ev, oscillators } => Dispersion::DrudeLorentz {
            epsilon_infinity: parameter(head, epsilon_infinity)?,
            plasma_ev2: parameter(head, plasma_ev2)?,
            damping_ev: parameter(head, damping_ev)?,
            oscillators: oscillators.iter().map(|t| oscillator(head, t)).collect::<Result<_, _>>()?,
        },
        Optical::SameAs { part: other, k } => {
            let of = part(library, head, other, depth)?;
            match k {
                Some(k) => Dispersion::WithExtinction { of: Box::new(of), k: *k },
                None => of,
            }
        }
        Optical::Bruggeman { first, second } => Dispersion::Mixture {
            first: Box::new(part(library, head, first, depth)?),
            second: Box::new(part(library, head, second, depth)?),
        },
        Optical::Stack { .. } => {
            return Err(broken(head, "a stack cannot be part of another material".to_owned()));
        }
    })
}

fn part(library: &Library, head: &Head, part: &Part, depth: usize) -> Result<Dispersion, InputError> {
    if depth >= MAX_DEPTH {
        return Err(broken(head, "materials refer to one another in a ring".to_owned()));
    }
    let other = library.head(&part.material, &part.source).map_err(|problem| problem.in_file(&name(head)))?;
    dispersion(library, other, depth + 1)
}

fn oscillator(head: &Head, terms: &Terms) -> Result<Oscillator, InputError> {
    Ok(Oscillator {
        strength: parameter(head, &terms.strength)?,
        energy_ev: parameter(head, &terms.energy_ev)?,
        width_ev: parameter(head, &terms.width_ev)?,
    })
}

fn parameter(head: &Head, number: &Number) -> Result<Parameter, InputError> {
    match number {
        Number::Fixed(value) => Ok(Parameter::fixed(*value)),
        Number::Piecewise { at, value } => Parameter::piecewise(at.clone(), value.clone())
            .ok_or_else(|| broken(head, format!("'at' {at:?} must rise and be as long as 'value' {value:?}"))),
    }
}

fn name(head: &Head) -> String {
    format!("materials/{}/{}.toml", head.material, head.source)
}

fn broken(head: &Head, message: String) -> InputError {
    Problem::Table { message }.in_file(&name(head))
}
