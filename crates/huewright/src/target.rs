//! The wanted colour, as a person gives it.

use crate::engine::{Conditions, Engine, Light};
use crate::error::Fault;
use colour::{Display, Lab, SRGB, SpectralTable, Viewing, Xyz, adapt};

/// A wanted colour under the light and observer of the question.
#[derive(Debug, Clone, PartialEq)]
pub struct Target {
    /// The colour.
    pub lab: Lab,
    /// The white it refers to.
    pub white: Xyz,
    /// How it was given, in words.
    pub given: String,
    /// What kind of thing was given.
    pub kind: Given,
    /// What was assumed on the way.
    pub notes: Vec<String>,
}

/// What kind of thing a colour was given as.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Given {
    /// A colour of a screen.
    Screen,
    /// Lab numbers.
    Lab,
    /// A trade word.
    Word(String),
    /// A measured spectrum.
    Spectrum,
}

/// Text that names no colour.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TargetError {
    /// Neither hex, nor lab(), nor a name, nor a file.
    #[error(
        "'{given}' is no colour: give \"#1f4fa0\", \"lab(30, 16, -48)\", a spectrum file (.csv), or a trade name{}: {known}",
        nearest.as_ref().map(|n| format!(" (did you mean '{n}'?)")).unwrap_or_default()
    )]
    Unknown {
        /// What was given.
        given: String,
        /// The nearest name.
        nearest: Option<String>,
        /// All names.
        known: String,
    },
    /// A spectrum with a hole.
    #[error(
        "{given} has no reading between {below} and {above} nm; a colour is summed across at most {most} nm: measure it in steps of 10 or 20 nm"
    )]
    Gap {
        /// The file.
        given: String,
        /// Last reading before the hole, nm.
        below: f64,
        /// First after it, nm.
        above: f64,
        /// Widest that is allowed, nm.
        most: f64,
    },
    /// A hex colour of the wrong shape.
    #[error("'{given}' is not a colour of the form #rrggbb with six digits 0-9 a-f")]
    Hex {
        /// What was given.
        given: String,
    },
    /// A lab() of the wrong shape.
    #[error("'{given}' is not of the form lab(L, a, b) with L* from 0 to 100 and a*, b* from -200 to 200")]
    Lab {
        /// What was given.
        given: String,
    },
}

/// Reads `text` as a hex colour (D65, 2 degrees), `lab(L,a,b)` (under the given light and observer), or a trade name.
///
/// Colours that are given for D65 are carried to another light by adaptation of the white (Bradford), and that is said.
///
/// # Errors
/// [`Fault`] when the text is no colour, or light or observer are not known.
pub fn parse_target(engine: &Engine, text: &str, conditions: &Conditions) -> Result<Target, Fault> {
    let text = text.trim();
    let viewing = engine.viewing(conditions)?;
    if let Some(hex) = text.strip_prefix('#') {
        let lab = SRGB.lab(parse_hex(hex).ok_or_else(|| TargetError::Hex { given: text.to_owned() })?);
        return Ok(from_d65(lab, &viewing, conditions, text.to_owned(), Given::Screen));
    }
    if text.to_ascii_lowercase().starts_with("lab") {
        let lab = parse_lab(text).ok_or_else(|| TargetError::Lab { given: text.to_owned() })?;
        return Ok(Target { lab, white: viewing.white(), given: text.to_owned(), kind: Given::Lab, notes: Vec::new() });
    }
    if let Some(row) = engine.names().find(text) {
        let given = format!("{} (trade name, D65, 2 degrees)", row.name);
        return Ok(from_d65(row.target, &viewing, conditions, given, Given::Word(row.name.clone())));
    }
    let known: Vec<&str> = engine.names().rows().iter().map(|r| r.name.as_str()).collect();
    let bare_hex = parse_hex(text).map(|_| format!("#{text}"));
    let nearest = bare_hex.or_else(|| library::nearest(text, known.iter().copied()));
    Err(TargetError::Unknown { given: text.to_owned(), nearest, known: known.join(", ") }.into())
}

impl Target {
    /// The colour of a measured spectrum under the light and observer of the question.
    ///
    /// # Errors
    /// [`Fault`] when light or observer are not known.
    pub fn from_spectrum(
        engine: &Engine,
        wavelength_nm: &[f64],
        reflectance: &[f64],
        conditions: &Conditions,
        name: &str,
    ) -> Result<Self, Fault> {
        let viewing = engine.viewing(conditions)?;
        let (first, last) = (wavelength_nm[0], wavelength_nm[wavelength_nm.len() - 1]);
        let table = SpectralTable::new(wavelength_nm.to_vec(), reflectance.to_vec()).ok_or_else(|| {
            Fault::Input(library::Problem::Table { message: "needs rising wavelengths".to_owned() }.in_file(name))
        })?;
        let (mut notes, (gap, below, above)) = (Vec::new(), widest_gap(wavelength_nm, viewing.wavelength_nm()));
        if gap > WIDEST_GAP_NM {
            return Err(TargetError::Gap { given: name.to_owned(), below, above, most: WIDEST_GAP_NM }.into());
        }
        if gap > COARSE_NM {
            notes.push(format!("between {below} and {above} nm the spectrum has no reading: it is taken as straight there, and the colour is only near (ASTM E308 sums at 20 nm or finer)"));
        }
        // Beyond its ends a spectrum is held: the eye sees little there.
        let values: Vec<f64> = viewing.wavelength_nm().iter().map(|w| table.at(w.clamp(first, last))).collect();
        if first > viewing.wavelength_nm()[0] || last < viewing.wavelength_nm()[viewing.wavelength_nm().len() - 1] {
            notes.push(format!("the spectrum runs from {first} to {last} nm; its ends are held to 380 and 780 nm"));
        }
        Ok(Self {
            lab: viewing.lab(&values),
            white: viewing.white(),
            given: format!("spectrum {name}"),
            kind: Given::Spectrum,
            notes,
        })
    }
}

/// Steps of a spectrum from which a colour is summed as published: ASTM E308, 20 nm or finer.
const COARSE_NM: f64 = 20.0;
/// A hole that no colour is summed across: own judgement.
const WIDEST_GAP_NM: f64 = 40.0;

/// The widest step of a spectrum within what is seen, and where it lies.
fn widest_gap(wavelength_nm: &[f64], grid: &[f64]) -> (f64, f64, f64) {
    let (low, high) = (grid[0], grid[grid.len() - 1]);
    let seen = |w: &&[f64]| w[1] > low && w[0] < high;
    let widest = wavelength_nm.windows(2).filter(seen).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    widest.map_or((0.0, low, high), |w| (w[1] - w[0], w[0], w[1]))
}

fn from_d65(lab: Lab, viewing: &Viewing, conditions: &Conditions, given: String, kind: Given) -> Target {
    if is_d65(conditions) {
        // Lab values are carried over as they stand: the whites differ by rounding alone.
        return Target { lab, white: viewing.white(), given, kind, notes: Vec::new() };
    }
    let carried = adapt(lab.to_xyz(Display::white()), Display::white(), viewing.white()).to_lab(viewing.white());
    let note = format!(
        "the colour was given for D65 and 2 degrees; it is carried to {}, {} degrees by adapting the white (Bradford)",
        viewing.light, viewing.observer
    );
    Target { lab: carried, white: viewing.white(), given, kind, notes: vec![note] }
}

fn is_d65(conditions: &Conditions) -> bool {
    conditions.observer == "2" && matches!(&conditions.light, Light::Named(n) if n.eq_ignore_ascii_case("D65"))
}

fn parse_hex(hex: &str) -> Option<[f64; 3]> {
    let digits: Vec<u32> = hex.chars().map(|c| c.to_digit(16)).collect::<Option<_>>()?;
    let [r1, r0, g1, g0, b1, b0] = digits[..] else { return None };
    Some([(r1, r0), (g1, g0), (b1, b0)].map(|(high, low)| f64::from(16 * high + low) / 255.0))
}

fn parse_lab(text: &str) -> Option<Lab> {
    let inside = text.get(3..)?.trim().strip_prefix('(')?.strip_suffix(')')?;
    let parts: Vec<f64> = inside
        .split(|c: char| c == ',' || c.is_whitespace())
        .filter(|p| !p.is_empty())
        .map(|p| p.parse().ok().filter(|v: &f64| v.is_finite()))
        .collect::<Option<_>>()?;
    let [l, a, b] = parts[..] else { return None };
    ((0.0..=100.0).contains(&l) && a.abs() <= 200.0 && b.abs() <= 200.0).then_some(Lab { l, a, b })
}
