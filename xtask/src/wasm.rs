//! The browser's modules, a small first one and the full one: compiled by rustup's own target where it is there, else by Debian's compiler with std from source.

use crate::install::{Debian, Install};
use crate::shell::{command, output, root, run, target};
use std::path::{Path, PathBuf};
use std::process::Command;

const TRIPLE: &str = "wasm32-unknown-unknown";
const PACKAGE: &str = "huewright-wasm";
const DEBIAN: Debian = Debian {
    what: "a Rust compiler for WebAssembly",
    packages: &["rustc-web", "cargo-web", "rust-web-src", "lld"],
    elsewhere: "rustup target add wasm32-unknown-unknown",
};

/// Name in the folder, and what cargo is told besides. One compiler serves both, and whatever does not differ is built once.
const MODULES: [(&str, &[&str]); 2] = [("first", &["--no-default-features"]), ("full", &[])];

/// Builds the modules and their JavaScript into `folder`.
pub(crate) fn build(install: Install, folder: &Path) -> Result<(), String> {
    let built = target().join("wasm");
    let module = built.join(TRIPLE).join("wasm").join("huewright_wasm.wasm");
    for (name, features) in MODULES {
        let mut cargo = compiler(install)?;
        cargo
            .args(["build", "--locked", "--target", TRIPLE, "--profile", "wasm", "-p", PACKAGE, "--target-dir"])
            .arg(&built)
            .args(features)
            .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS", flags());
        run(&mut cargo)?;
        let mut glue = command("cargo");
        glue.args(["run", "--quiet", "--locked", "-p", "huewright-glue", "--"]).arg(&module).arg(folder).arg(name);
        run(&mut glue)?;
    }
    Ok(())
}

/// The cargo that can compile for the browser.
fn compiler(install: Install) -> Result<Command, String> {
    let sysroot = output(command("rustc").args(["--print", "sysroot"])).map(PathBuf::from).unwrap_or_default();
    if sysroot.join("lib/rustlib").join(TRIPLE).exists() {
        return Ok(command("cargo"));
    }
    let debian = |path: &str| Path::new(path).exists();
    let ready = || debian("/usr/bin/rustc") && debian("/usr/bin/cargo") && debian("/usr/lib/rustlib/src/rust/library");
    if !ready() {
        let by_apt = install.debian(&DEBIAN);
        if by_apt.is_err() && install == Install::Allowed && output(command("rustup").arg("--version")).is_some() {
            println!("adding {TRIPLE} with rustup");
            run(command("rustup").args(["target", "add", TRIPLE]))?;
            return Ok(command("cargo"));
        }
        by_apt?;
    }
    let mut cargo = command("/usr/bin/cargo");
    cargo
        .args(["-Zbuild-std=std,panic_abort", "-Zbuild-std-features=optimize_for_size"])
        .env("RUSTC", "/usr/bin/rustc")
        .env("RUSTC_BOOTSTRAP", "1")
        .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", linker(&sysroot));
    Ok(cargo)
}

/// rustup's linker understands newer objects than Debian's.
fn linker(sysroot: &Path) -> PathBuf {
    let host = output(command("rustc").arg("-vV"))
        .and_then(|v| v.lines().find_map(|l| l.strip_prefix("host: ").map(ToOwned::to_owned)))
        .unwrap_or_default();
    let ours = sysroot.join("lib/rustlib").join(host).join("bin/rust-lld");
    if ours.exists() { ours } else { PathBuf::from("wasm-ld") }
}

/// Constant, or std is built anew. Panic messages carry paths, and the registry's name with them: both are cut.
fn flags() -> String {
    let mut flags = vec!["-Ctarget-feature=+simd128".to_owned()];
    let home = std::env::var_os("CARGO_HOME")
        .map(PathBuf::from)
        .or_else(|| std::env::var_os("HOME").map(|h| PathBuf::from(h).join(".cargo")));
    let sources = home.map(|h| h.join("registry/src")).unwrap_or_default();
    let mut folders: Vec<PathBuf> =
        std::fs::read_dir(sources).into_iter().flatten().flatten().map(|e| e.path()).collect();
    folders.sort();
    flags.extend(folders.iter().map(|f| format!("--remap-path-prefix={}=crates", f.display())));
    flags.push("--remap-path-prefix=/usr/lib/rustlib/src/rust=std".to_owned());
    flags.join(" ")
}

/// What the modules and their JavaScript are made into.
pub(crate) fn folder() -> PathBuf {
    root().join("ui/engine")
}
