//! Checks of the tree that need no compiler: each source file says what it is, none is too long, nothing is left behind.

use crate::shell::root;
use std::fs;
use std::path::{Path, PathBuf};

/// A file longer than this holds two ideas.
const MOST_LINES: usize = 500;
const NOT_OURS: [&str; 4] = ["target", ".git", "node_modules", "demo-pictures"];
/// Joined at run time, so that this file does not find itself.
const LEFT_BEHIND: [(&str, &str); 5] =
    [("to", "do!("), ("unimple", "mented!("), ("FIX", "ME"), ("db", "g!("), ("#[ign", "ore")];

pub(crate) fn run() -> Result<(), String> {
    let mut files = Vec::new();
    walk(&root(), &mut files).map_err(|e| e.to_string())?;
    let mut faults = Vec::new();
    for file in files.iter().filter(|f| f.extension().is_some_and(|e| e == "rs")) {
        let text = fs::read_to_string(file).map_err(|e| format!("{}: {e}", file.display()))?;
        check(file, &text, &mut faults);
    }
    if faults.is_empty() { Ok(()) } else { Err(format!("\n  {}", faults.join("\n  "))) }
}

fn check(file: &Path, text: &str, faults: &mut Vec<String>) {
    let name = file.strip_prefix(root()).unwrap_or(file).display();
    if !text.starts_with("//!") {
        faults.push(format!("{name}: begins without a //! line that says what the file is"));
    }
    let lines = text.lines().count();
    if lines > MOST_LINES {
        faults.push(format!("{name}: {lines} lines; more than {MOST_LINES} is two ideas"));
    }
    for (a, b) in LEFT_BEHIND {
        let word = format!("{a}{b}");
        if let Some(at) = text.lines().position(|l| l.contains(&word)) {
            faults.push(format!("{name}:{}: '{word}' left behind", at + 1));
        }
    }
}

fn walk(folder: &Path, found: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        if path.is_dir() {
            if !NOT_OURS.contains(&name.as_str()) {
                walk(&path, found)?;
            }
        } else {
            found.push(path);
        }
    }
    found.sort();
    Ok(())
}
