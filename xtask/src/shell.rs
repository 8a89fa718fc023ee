//! Running other programs.

use std::path::PathBuf;
use std::process::Command;
use std::time::Instant;

/// The root of the workspace, as cargo tells at run time.
pub(crate) fn root() -> PathBuf {
    let here = std::env::var_os("CARGO_MANIFEST_DIR").map_or_else(|| PathBuf::from("xtask"), PathBuf::from);
    here.parent().map_or_else(|| PathBuf::from("."), PathBuf::from)
}

/// Runs one named step and says how long it took.
pub(crate) fn step(name: &str, run: impl FnOnce() -> Result<(), String>) -> Result<(), String> {
    println!("== {name}");
    let start = Instant::now();
    run().map_err(|e| format!("{name}: {e}"))?;
    println!("== {name}: done in {:.1} s", start.elapsed().as_secs_f64());
    Ok(())
}

/// Calls cargo in the root. What `cargo run` set for us must not reach it, or it would build everything anew.
pub(crate) fn cargo(arguments: &[&str], environment: &[(&str, &str)]) -> Result<(), String> {
    let mut command = Command::new("cargo");
    command.args(arguments).current_dir(root());
    for (name, _) in std::env::vars_os() {
        let text = name.to_string_lossy();
        let keep = ["CARGO_HOME", "CARGO_TARGET_DIR", "CARGO_NET_OFFLINE", "CARGO_TERM_COLOR"];
        let leaks = ["LD_LIBRARY_PATH", "RUSTC", "RUSTFLAGS", "RUSTUP_TOOLCHAIN"];
        if leaks.contains(&&*text) || (text.starts_with("CARGO") && !keep.contains(&&*text)) {
            command.env_remove(&name);
        }
    }
    command.envs(environment.iter().copied());
    let status = command.status().map_err(|e| format!("cargo cannot be run: {e}"))?;
    if status.success() { Ok(()) } else { Err(format!("cargo {} failed", arguments.join(" "))) }
}

/// Whether `cargo NAME` exists.
pub(crate) fn has_cargo(name: &str) -> bool {
    Command::new("cargo").args([name, "--version"]).output().is_ok_and(|o| o.status.success())
}
