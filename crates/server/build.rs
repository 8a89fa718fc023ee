//! The built page rides inside the program. A fresh clone has none: the folder is made, so that the program compiles.

use std::path::PathBuf;
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let page = PathBuf::from(env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?).join("../../ui/dist");
    fs::create_dir_all(&page)?;
    println!("cargo::rerun-if-changed={}", page.display());
    Ok(())
}
