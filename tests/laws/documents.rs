//! What the documents show is what the program reads: every TOML example in docs/files.md, and the examples folder.

use huewright::Engine;
use library::{FinishFile, LoadsFile, PartFile, RecipeFile, WorkshopFile};
use std::path::Path;

fn root() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Tables that an example names are not at hand: a small one stands for each.
fn any_table(_: &Path) -> std::io::Result<Vec<u8>> {
    Ok(b"wavelength_nm,n,k\n380,2.5,3.4\n780,3.0,3.9\n".to_vec())
}

fn parse(engine: &Engine, name: &str, text: &str) {
    let library = engine.library();
    if text.starts_with("# finish") {
        FinishFile::read(name, text.as_bytes(), library, &any_table).map(|_| ()).unwrap_or_else(|e| panic!("{e}"));
    } else if text.starts_with("# part") {
        let part = PartFile::read(name, text.as_bytes(), library).unwrap_or_else(|e| panic!("{e}"));
        huewright::part::area(engine, &part).unwrap_or_else(|e| panic!("{e}"));
    } else if text.starts_with("# recipe") {
        RecipeFile::read(name, text.as_bytes(), library, &any_table).map(|_| ()).unwrap_or_else(|e| panic!("{e}"));
    } else if text.starts_with("# loads") {
        LoadsFile::read(name, text.as_bytes(), library, &any_table).map(|_| ()).unwrap_or_else(|e| panic!("{e}"));
    } else {
        WorkshopFile::read(name, text.as_bytes(), library, &any_table).map(|_| ()).unwrap_or_else(|e| panic!("{e}"));
    }
}

#[test]
fn examples_of_the_documents_parse() {
    let engine = Engine::new().unwrap();
    let text = std::fs::read_to_string(root().join("docs/files.md")).unwrap();
    let mut read = 0;
    for (i, block) in text.split("```toml\n").skip(1).enumerate() {
        let body = block.split("```").next().unwrap();
        if ["# finish", "# workshop", "# part", "# recipe", "# loads"].iter().any(|kind| body.starts_with(kind)) {
            parse(&engine, &format!("docs/files.md example {}", i + 1), body);
            read += 1;
        }
    }
    assert!(read >= 10, "only {read} examples were found");
}

#[test]
fn the_examples_folder_parses() {
    let engine = Engine::new().unwrap();
    let mut read = 0;
    for entry in std::fs::read_dir(root().join("examples/bells")).unwrap() {
        let path = entry.unwrap().path();
        let bytes = std::fs::read(&path).unwrap();
        let name = path.display().to_string();
        let text = String::from_utf8_lossy(&bytes).into_owned();
        if name.ends_with("workshop.toml") {
            WorkshopFile::read(&name, &bytes, engine.library(), &any_table).unwrap();
        } else if name.contains("loads") {
            LoadsFile::read(&name, &bytes, engine.library(), &|path: &Path| std::fs::read(path)).unwrap();
        } else if name.contains("recipe-") {
            RecipeFile::read(&name, &bytes, engine.library(), &|path: &Path| std::fs::read(path)).unwrap();
        } else if text.contains("\nmetal = ") {
            PartFile::read(&name, &bytes, engine.library()).unwrap();
        } else {
            FinishFile::read(&name, &bytes, engine.library(), &any_table).unwrap();
        }
        assert!(text.contains("nvented"), "{name} does not say that it is invented");
        read += 1;
    }
    assert!(read >= 4);
}
