//! Lists the files of `data/` so that they ride inside the program: adding one needs no code.

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

fn main() -> io::Result<()> {
    let here = PathBuf::from(env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?);
    let data = here.join("../../data").canonicalize()?;
    println!("cargo::rerun-if-changed={}", data.display());
    let mut files = Vec::new();
    walk(&data, &mut files)?;
    let mut named = Vec::new();
    for file in files {
        let name = file.strip_prefix(&data).map_err(io::Error::other)?.to_string_lossy().replace('\\', "/");
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
    fs::write(out.join("embedded.rs"), text)
}
