//! docs/accuracy.md and the README's rows, rendered from what the tests wrote.

use crate::shell::{cargo, has_cargo, root};
use std::fs;

/// Stub until the test tree writes rows.
pub(crate) fn clear() -> Result<(), String> {
    let folder = root().join("target/accuracy");
    if folder.exists() {
        fs::remove_dir_all(&folder).map_err(|e| e.to_string())?;
    }
    Ok(())
}

/// All tests; nextest where it is installed.
pub(crate) fn run_tests() -> Result<(), String> {
    if has_cargo("nextest") {
        cargo(&["nextest", "run", "--workspace"], &[])
    } else {
        cargo(&["test", "--workspace"], &[])
    }
}

pub(crate) fn render(_write: bool) -> Result<(), String> {
    Ok(())
}
