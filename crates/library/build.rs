//! Lists the files of `data/` and of `examples/` so that they ride inside the program: adding one needs no code.

use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn walk(folder: &Path, found: &mut Vec<PathBuf>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            walk(&path, found)?;
        } else if path.extension().is_some_and(|e| e == "toml" || e == "csv") {
            found.push(path);
        }
    }
    Ok(())
}

/// Writes the list of the TOML and CSV files below `folder`, each with its path from there.
fn embed(folder: &Path, list: &str) -> io::Result<()> {
    println!("cargo::rerun-if-changed={}", folder.display());
    let mut files = Vec::new();
    walk(folder, &mut files)?;
    let mut named = Vec::new();
    for file in files {
        let name = file.strip_prefix(folder).map_err(io::Error::other)?.to_string_lossy().replace('\\', "/");
        named.push((name, file));
    }
    // Sorted as text: the library looks files up by halving.
    named.sort();
    let mut text = String::from("&[\n");
    for (name, file) in named {
        text.push_str(&format!("    ({name:?}, include_str!({:?})),\n", file.display().to_string()));
    }
    text.push(']');
    let out = PathBuf::from(env::var("OUT_DIR").map_err(io::Error::other)?);
    fs::write(out.join(list), text)
}

fn main() -> io::Result<()> {
    let here = PathBuf::from(env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?);
    embed(&here.join("../../data").canonicalize()?, "embedded.rs")?;
    embed(&here.join("../../examples").canonicalize()?, "examples.rs")
}
