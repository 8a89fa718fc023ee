//! Logs of loads whose truth is known and comes from other constants than the program's: gold nitride with a thin dark film
//! in the bells' magnetron (invented).

use crate::chance::Chance;
use crate::finishes::{base, film, material};
use crate::plans::bells;
use colour::{Lab, ciede2000};
use huewright::correct::{CorrectRequest, Correction, correct};
use huewright::finish::Eye;
use huewright::{Conditions, Engine, Fault};
use library::{LoadsFile, MaterialRef};
use std::f64::consts::TAU;
use std::path::Path;

/// Thickness of the nitride that the recipe orders, nm, and shutter times of both films, s.
pub const BELOW_NM: f64 = 500.0;
/// See [`BELOW_NM`].
pub const SECONDS: [f64; 2] = [3750.0, 228.0];
/// Thickness and composition of the dark nitride that the recipe orders.
pub const DARK: [f64; 2] = [30.4, 0.6];
/// Scatter of the bells' magnetron from load to load: of each thickness, and of a composition (examples/bells and
/// `routes::deposit`).
pub const MACHINE: [f64; 2] = [0.06, 0.02];
/// Scatter of a reading, Lab, each axis.
pub const READING: f64 = 0.3;
/// Where witnesses stand, and their height over half the load's.
pub const PLACES: [(&str, f64); 3] = [("top", 1.0), ("middle", 0.0), ("bottom", -1.0)];
/// How the slider of titanium nitride moves its squared plasma energy, eV2 (data/materials/tin/drude-family.toml).
const PLASMA_EV2: f64 = 72.25 - 47.61;
/// Energy of light of one nm, eV nm.
const EV_NM: f64 = 1_239.841_98;

/// What a load really came to.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Gone {
    /// Logarithm of the share of the film on top.
    pub top: f64,
    /// The same of the nitride.
    pub below: f64,
    /// Share more at the top of the load, and less at its bottom.
    pub rise: f64,
    /// Shift of the nitride, in its slider.
    pub nitrogen: f64,
    /// Shift of the index of the film on top.
    pub index: f64,
}

/// A chamber and films of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    wavelength_nm: Vec<f64>,
    /// n and k of the nitride.
    nitride: Vec<[f64; 2]>,
    /// Damping of its free electrons, eV.
    damping_ev: f64,
    /// n and k of the film on top.
    pub top: [f64; 2],
    /// What it lays in the middle in [`SECONDS`], nm.
    pub nm: f64,
    /// Shares of the places.
    pub shares: [f64; 3],
    /// Composition of the program's own nitride, where the truth is the program's own: a control.
    pub own: Option<f64>,
}

/// Colours of the bells are seen under D65 by 10 degrees.
pub fn conditions() -> Conditions {
    Conditions { observer: "10".to_owned(), ..Conditions::default() }
}

impl Truth {
    /// Nitride after a published table, and a film of one n and k.
    ///
    /// # Panics
    /// When there is no such table.
    pub fn new(engine: &Engine, table: &str, top: [f64; 2], shares: [f64; 3]) -> Self {
        let wavelength_nm: Vec<f64> = (0..=90).map(|i| 360.0 + 5.0 * f64::from(i)).collect();
        let built = engine.build(&base("tin", table)).expect("a table of titanium nitride");
        let sample = built.sample(built.values(), &wavelength_nm);
        let nitride = sample.base.iter().map(|x| [x.re, x.im]).collect();
        Self { wavelength_nm, nitride, damping_ev: 0.3, top, nm: 0.0, shares, own: None }
    }

    /// The program's own constants.
    pub fn own(engine: &Engine, composition: f64, shares: [f64; 3]) -> Self {
        Self { own: Some(composition), nm: DARK[0], ..Self::new(engine, "", [0.0; 2], shares) }
    }

    /// Lays what comes nearest to `wanted` in the middle: a shop that was tuned.
    pub fn tuned(mut self, engine: &Engine, wanted: Lab) -> Self {
        let off = |nm: f64| ciede2000(self.lab(engine, nm, Gone::default()), wanted);
        let all = (30..=125).map(|i| 0.4 * f64::from(i));
        self.nm = all.min_by(|a, b| off(*a).total_cmp(&off(*b))).unwrap_or(30.0);
        self
    }

    /// Colour where the film on top is `nm` thick.
    ///
    /// # Panics
    /// Never, save when the engine takes no table.
    pub fn lab(&self, engine: &Engine, nm: f64, gone: Gone) -> Lab {
        let mut finish = base("stainless-austenitic", "");
        if let Some(composition) = self.own {
            let mut below = film(material("tin", ""), BELOW_NM * gone.below.exp());
            below.composition = Some((composition + gone.nitrogen).clamp(0.0, 1.0));
            let mut top = film(material("tialn", ""), nm * gone.top.exp());
            top.composition = Some(DARK[1] + 2.0 * gone.index);
            finish.films.extend([below, top]);
        } else {
            finish.films.push(film(self.shifted(gone.nitrogen), BELOW_NM * gone.below.exp()));
            let [n, k] = self.top;
            finish.films.push(film(MaterialRef::Inline { n: n + gone.index, k }, nm * gone.top.exp()));
        }
        let conditions = conditions();
        let eye = Eye::new(engine, &conditions).expect("a light");
        let built = engine.build(&finish).expect("a finish");
        eye.lab(&built, built.values()).expect("a colour")
    }

    /// Colours of the places, unread.
    pub fn places(&self, engine: &Engine, gone: Gone) -> [Lab; 3] {
        std::array::from_fn(|i| self.lab(engine, self.nm * self.shares[i] * (1.0 + gone.rise * PLACES[i].1), gone))
    }

    /// The nitride with fewer free electrons: what its slider moves.
    fn shifted(&self, slider: f64) -> MaterialRef {
        let moved = |(nm, [n, k]): (&f64, &[f64; 2])| {
            let (energy, lost) = (EV_NM / nm, PLASMA_EV2 * slider);
            let square = energy * energy;
            let size = square * square + square * self.damping_ev * self.damping_ev;
            let (re, im) = (n * n - k * k + lost * square / size, 2.0 * n * k - lost * energy * self.damping_ev / size);
            let length = re.hypot(im);
            [(0.5 * (length + re)).sqrt(), (0.5 * (length - re)).sqrt()]
        };
        let all: Vec<[f64; 2]> = self.wavelength_nm.iter().zip(&self.nitride).map(moved).collect();
        MaterialRef::Table {
            file: "truth of a test".to_owned(),
            wavelength_nm: self.wavelength_nm.clone(),
            n: all.iter().map(|v| v[0]).collect(),
            k: all.iter().map(|v| v[1]).collect(),
        }
    }
}

/// A deviate of the normal distribution (Box and Muller).
pub fn normal(chance: &mut Chance) -> f64 {
    (-2.0 * (1.0 - chance.unit()).ln()).sqrt() * (TAU * chance.unit()).cos()
}

/// What the machine strays by in any load.
pub fn strayed(chance: &mut Chance) -> Gone {
    Gone {
        top: MACHINE[0] * normal(chance),
        below: MACHINE[0] * normal(chance),
        rise: 0.0,
        nitrogen: MACHINE[1] * normal(chance),
        index: 0.01 * normal(chance),
    }
}

/// A log as text: wanted is the first load's order as it should be; each load with the witnesses `at`, its film on top laid
/// for as long as `seconds` say, or in [`SECONDS`] where the list has ended.
pub fn log(
    engine: &Engine,
    truth: &Truth,
    loads: &[Gone],
    at: &[usize],
    seconds: &[f64],
    chance: &mut Chance,
) -> String {
    let master = truth.lab(engine, truth.nm, Gone::default());
    let mut text = format!(
        "schema = 1\nrecipe = \"recipe-gold-dark.toml\"\nobserver = 10\n[wanted]\nlab = [{:.1}, {:.1}, {:.1}]\n\
         limits = {{ l = 2.5, a = 8.0, b = 4.0 }}\n",
        master.l, master.a, master.b
    );
    for (i, gone) in loads.iter().enumerate() {
        text.push_str("[[load]]\n");
        if i == 0 {
            text.push_str("nitrogen_sccm = 12\n");
        }
        let shutter = seconds.get(i).copied().unwrap_or(SECONDS[1]);
        text.push_str(&format!("seconds = [{}, {shutter}]\n", SECONDS[0]));
        text.push_str(&format!("ampere_hours = {}\n", 1200 + 80 * i));
        let labs = truth.places(engine, Gone { top: gone.top + (shutter / SECONDS[1]).ln(), ..*gone });
        for place in at {
            let lab = labs[*place];
            let [l, a, b] = [lab.l, lab.a, lab.b].map(|v| v + READING * normal(chance));
            text.push_str(&format!(
                "[[load.witness]]\nat = \"{}\"\nlab = [{:.1}, {a:.1}, {b:.1}]\n",
                PLACES[*place].0,
                l.max(0.0)
            ));
        }
    }
    text
}

/// Reads a log as if it lay in the folder of the bell workshop, and corrects it.
///
/// # Errors
/// What the program says.
pub fn corrected(engine: &Engine, text: &str) -> Result<Correction, Fault> {
    let read = |path: &Path| std::fs::read(path);
    let file = bells().join("loads-of-a-test.toml").display().to_string();
    let loads = LoadsFile::read(&file, text.as_bytes(), engine.library(), &read)?;
    correct(engine, &CorrectRequest { loads: &loads, workshop: None })
}

/// What the recipe should look like with the program's own nitride of that composition.
///
/// # Panics
/// When it cannot be seen.
pub fn ordered(engine: &Engine, composition: f64) -> Lab {
    Truth::own(engine, composition, [1.0; 3]).lab(engine, DARK[0], Gone::default())
}
