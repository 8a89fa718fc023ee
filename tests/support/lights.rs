//! Lights and observers on any grid: the library's, and the few that only these tests need.

use crate::tables;
use colour::{SpectralTable, Viewing};
use huewright::Engine;

/// The wavelengths of `from-to/step`, in nm.
///
/// # Panics
/// On any other words.
pub fn grid(words: &str) -> Vec<f64> {
    let parts = words.split_once('/').and_then(|(span, step)| span.split_once('-').map(|(a, b)| [a, b, step]));
    let [from, to, step] = parts
        .map(|p| p.map(|v| v.parse::<u32>().unwrap_or_else(|_| panic!("'{words}' is no grid"))))
        .unwrap_or_else(|| panic!("'{words}' is no grid"));
    (from..=to).step_by(step as usize).map(f64::from).collect()
}

/// A light by its word: the library's, else `published/cie-015-whites/<word>.csv`.
///
/// # Panics
/// When neither has it.
pub fn light(engine: &Engine, word: &str) -> SpectralTable {
    let (wavelength_nm, power) = points(engine, word);
    SpectralTable::new(wavelength_nm, power).unwrap_or_else(|| panic!("the table of {word} does not rise"))
}

/// The points of a light as they stand in its file.
pub fn points(engine: &Engine, word: &str) -> (Vec<f64>, Vec<f64>) {
    match engine.light(word) {
        Ok(head) => (head.table.wavelength_nm.clone(), head.table.columns[0].clone()),
        Err(_) => {
            let file = format!("published/cie-015-whites/{}.csv", word.to_lowercase());
            tables::columns(&file, "wavelength_nm", "power")
        }
    }
}

/// The three functions of an observer, `2` or `10`.
///
/// # Panics
/// When the library has no such observer.
pub fn observer(engine: &Engine, word: &str) -> [SpectralTable; 3] {
    let head = engine.observer(word).unwrap_or_else(|e| panic!("{e}"));
    [0, 1, 2].map(|i| {
        SpectralTable::new(head.table.wavelength_nm.clone(), head.table.columns[i].clone())
            .unwrap_or_else(|| panic!("the table of observer {word} does not rise"))
    })
}

/// A library light and observer on a grid in words.
///
/// # Panics
/// When one of them is not known.
pub fn viewing(engine: &Engine, light_word: &str, observer_word: &str, grid_words: &str) -> Viewing {
    Viewing::new(
        (light_word, &light(engine, light_word)),
        (observer_word, &observer(engine, observer_word)),
        &grid(grid_words),
    )
    .unwrap_or_else(|e| panic!("{e}"))
}
