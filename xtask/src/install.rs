//! What is missing is installed, and said; `--no-install` stops that and prints what to do.

use crate::shell::{command, output, run};
use std::path::Path;

/// Whether xtask may install things.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Install {
    Allowed,
    Forbidden,
}

/// Packages of Debian by the name of what they bring.
pub(crate) struct Debian {
    /// What is missing, for a person.
    pub(crate) what: &'static str,
    /// The packages.
    pub(crate) packages: &'static [&'static str],
    /// How to get it on other systems.
    pub(crate) elsewhere: &'static str,
}

impl Install {
    /// Installs `wanted` with apt, where that is possible.
    pub(crate) fn debian(self, wanted: &Debian) -> Result<(), String> {
        let list = wanted.packages.join(" ");
        let by_hand =
            format!("{} is missing. On Debian: apt-get install {list}. Elsewhere: {}", wanted.what, wanted.elsewhere);
        let is_root = output(command("id").arg("-u")).is_some_and(|id| id == "0");
        if self == Self::Forbidden || !is_root || !Path::new("/usr/bin/apt-get").exists() {
            return Err(by_hand);
        }
        println!("{} is missing; installing {list}", wanted.what);
        let apt = |arguments: &[&str]| {
            run(command("apt-get").args(["-qq"]).args(arguments).env("DEBIAN_FRONTEND", "noninteractive"))
        };
        let install: Vec<&str> =
            ["install", "-y", "--no-install-recommends"].iter().chain(wanted.packages).copied().collect();
        // A first try without new lists: they are often there.
        apt(&install).or_else(|_| apt(&["update"]).and_then(|()| apt(&install))).map_err(|e| format!("{e}. {by_hand}"))
    }
}
