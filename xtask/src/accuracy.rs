//! The tests, and docs/accuracy.md rendered from what they measured.

use crate::shell::{cargo, has_cargo, target};
use std::fs;

/// Forgets the rows of earlier runs, so that a test that is gone leaves none.
pub(crate) fn clear() -> Result<(), String> {
    let folder = target().join("accuracy");
    if folder.exists() {
        fs::remove_dir_all(&folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    }
    Ok(())
}

/// All tests; by nextest where it is installed, which runs them side by side.
pub(crate) fn run_tests() -> Result<(), String> {
    if has_cargo("nextest") { cargo(&["nextest", "run"], &[]) } else { cargo(&["test"], &[]) }
}

/// Compares docs/accuracy.md and the README's rows with what was measured, or writes them.
pub(crate) fn render(write: bool) -> Result<(), String> {
    let mut arguments = vec!["run", "--quiet", "--package", "huewright-tests", "--example", "accuracy"];
    if write {
        arguments.extend(["--", "--write"]);
    }
    cargo(&arguments, &[])
}
