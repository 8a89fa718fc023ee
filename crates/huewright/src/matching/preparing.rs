//! What a part needs before its first route.

use super::enumerate::id_of;
use super::step::Step;
use library::{FinishFile, Library};
use serde::Serialize;

/// A preparation that is advised before a way.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Advised {
    /// Id of the preparation.
    pub preparation: String,
    /// What to do.
    pub words: String,
    /// Id of the means that needs no licence beyond what the workshop declares.
    pub with: Option<String>,
    /// The means in words.
    pub means: Option<String>,
    /// What it does to colour and texture.
    pub does: Vec<String>,
    /// What it forbids.
    pub forbids: Vec<String>,
    /// What it risks.
    pub risk: Option<String>,
    /// How well this is known, and who says so.
    pub source: String,
}

/// The preparations that the data advise before `first` on `start`. What gives the surface another texture is a choice and
/// not advised; what takes films off is advised on bare metal alone, for the metals that the data name.
pub(crate) fn advised(library: &Library, start: &FinishFile, first: &Step, licensed: bool) -> Vec<Advised> {
    let base = id_of(&start.base.material).unwrap_or("");
    library
        .preparations()
        .iter()
        .filter(|p| {
            let named = p.metals.iter().any(|m| m == base);
            p.before.iter().any(|r| r == first.route())
                && p.texture.is_none()
                && if p.strips { named && start.films.is_empty() } else { named || p.metals.is_empty() }
        })
        .map(|p| {
            // What needs no licence comes first, also where one is declared.
            let means = p.means.iter().find(|m| !m.licensed).or_else(|| p.means.iter().find(|_| licensed));
            Advised {
                preparation: p.id.clone(),
                words: p.words.clone(),
                with: means.map(|m| m.id.clone()),
                means: means.map(|m| match &m.instead {
                    Some(instead) => format!("{}; without it: {instead}", m.words),
                    None => m.words.clone(),
                }),
                does: p.does.clone(),
                forbids: p.forbids.clone(),
                risk: p.risk.clone(),
                source: format!("{}; {}", p.status, p.source),
            }
        })
        .collect()
}
