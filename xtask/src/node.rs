//! Node and what npm brings: found, or fetched.

use crate::install::{Debian, Install};
use crate::shell::{command, output, root, run, target};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The page's tools need this version, major and minor.
const LEAST: (u32, u32) = (20, 19);
const DEBIAN: Debian =
    Debian { what: "node with npm", packages: &["nodejs", "npm"], elsewhere: "install node 20.19 or newer" };

/// A node that is new enough, and the folder it lies in when it is not the one on the path.
pub(crate) struct Node {
    folder: Option<PathBuf>,
}

impl Node {
    /// Finds node, or installs it.
    pub(crate) fn find(install: Install) -> Result<Self, String> {
        let fetched = target().join("node");
        let folder = fetched.join("node_modules").join(package()).join("bin");
        for node in [Self { folder: None }, Self { folder: Some(folder.clone()) }] {
            if node.is_new_enough() {
                return Ok(node);
            }
        }
        if output(command("npm").arg("--version")).is_none() {
            install.debian(&DEBIAN)?;
        }
        let node = Self { folder: None };
        if node.is_new_enough() {
            return Ok(node);
        }
        if install == Install::Forbidden {
            return Err(format!("node {}.{} or newer is missing; install it", LEAST.0, LEAST.1));
        }
        // Debian's own may be older: npm brings a newer one, into the build folder alone.
        println!("node is older than {}.{}; fetching a newer one with npm", LEAST.0, LEAST.1);
        fs::create_dir_all(&fetched).map_err(|e| format!("{}: {e}", fetched.display()))?;
        run(command("npm").arg("install").arg("--prefix").arg(&fetched).arg(format!("{}@20", package())))?;
        let node = Self { folder: Some(folder) };
        if node.is_new_enough() {
            Ok(node)
        } else {
            Err("node cannot be made ready; install node 20.19 or newer".into())
        }
    }

    fn is_new_enough(&self) -> bool {
        let Some(version) = output(self.command("node").arg("--version")) else { return false };
        let mut parts = version.trim_start_matches('v').split('.').map(|p| p.parse().unwrap_or(0));
        (parts.next().unwrap_or(0), parts.next().unwrap_or(0)) >= LEAST
    }

    /// `node`, `npm` or `npx` in the folder of the page.
    pub(crate) fn command(&self, program: &str) -> Command {
        let path = match &self.folder {
            Some(folder) => {
                let rest = std::env::var_os("PATH").unwrap_or_default();
                let all = std::iter::once(folder.clone()).chain(std::env::split_paths(&rest));
                std::env::join_paths(all).unwrap_or_default()
            }
            None => std::env::var_os("PATH").unwrap_or_default(),
        };
        let here = self.folder.as_ref().map(|f| f.join(program)).filter(|p| p.exists());
        let mut command = command(here.unwrap_or_else(|| PathBuf::from(program)));
        command.current_dir(folder()).env("PATH", path);
        command
    }

    /// The packages of the lock file; skipped when they are those that are there.
    pub(crate) fn packages(&self) -> Result<(), String> {
        let lock = folder().join("package-lock.json");
        let stamp = folder().join("node_modules/.from-lock");
        let wanted = fs::read(&lock).map_err(|e| format!("{}: {e}", lock.display()))?;
        if fs::read(&stamp).is_ok_and(|there| there == wanted) {
            return Ok(());
        }
        run(self.command("npm").args(["ci", "--no-audit", "--no-fund"]))?;
        fs::write(&stamp, wanted).map_err(|e| format!("{}: {e}", stamp.display()))
    }
}

fn package() -> String {
    let machine = if cfg!(target_arch = "aarch64") { "arm64" } else { "x64" };
    let system = if cfg!(target_os = "macos") { "darwin" } else { "linux" };
    format!("node-{system}-{machine}")
}

/// Where the page lies.
pub(crate) fn folder() -> PathBuf {
    root().join("ui")
}

/// Whether a browser for the tests is there; installed where that is possible.
pub(crate) fn browser(install: Install) -> Result<(), String> {
    const BROWSERS: [&str; 3] = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
    if BROWSERS.iter().any(|b| Path::new(b).exists()) {
        return Ok(());
    }
    install.debian(&Debian {
        what: "the browser for the page's tests",
        packages: &["chromium", "fonts-dejavu-core"],
        elsewhere: "install Chromium as /usr/bin/chromium",
    })
}
