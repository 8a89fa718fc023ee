//! Running other programs.

use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::Instant;

/// The root of the workspace, as cargo tells at run time.
pub(crate) fn root() -> PathBuf {
    let here = std::env::var_os("CARGO_MANIFEST_DIR").map_or_else(|| PathBuf::from("xtask"), PathBuf::from);
    here.parent().map_or_else(|| PathBuf::from("."), PathBuf::from)
}

/// Where cargo builds.
pub(crate) fn target() -> PathBuf {
    root().join(std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| "target".into(), PathBuf::from))
}

/// Runs one named step and says how long it took.
pub(crate) fn step(name: &str, run: impl FnOnce() -> Result<(), String>) -> Result<(), String> {
    println!("== {name}");
    let start = Instant::now();
    run().map_err(|e| format!("{name}: {e}"))?;
    println!("== {name}: done in {:.1} s", start.elapsed().as_secs_f64());
    Ok(())
}

/// A command in the root. What `cargo run` set for us must not reach another cargo, or it would build everything anew.
pub(crate) fn command(program: impl AsRef<std::ffi::OsStr>) -> Command {
    let mut command = Command::new(program);
    command.current_dir(root());
    for (name, _) in std::env::vars_os() {
        let text = name.to_string_lossy();
        let keep = ["CARGO_HOME", "CARGO_TARGET_DIR", "CARGO_NET_OFFLINE", "CARGO_TERM_COLOR"];
        let leaks = ["LD_LIBRARY_PATH", "RUSTC", "RUSTFLAGS", "RUSTUP_TOOLCHAIN"];
        if leaks.contains(&&*text) || (text.starts_with("CARGO") && !keep.contains(&&*text)) {
            command.env_remove(&name);
        }
    }
    command
}

/// Runs `command` to its end.
pub(crate) fn run(command: &mut Command) -> Result<(), String> {
    let words = format!("{} {}", command.get_program().to_string_lossy(), words(command));
    let status = command.status().map_err(|e| format!("{words}: cannot be run: {e}"))?;
    if status.success() { Ok(()) } else { Err(format!("{words} failed")) }
}

fn words(command: &Command) -> String {
    command.get_args().map(|a| a.to_string_lossy().into_owned()).collect::<Vec<_>>().join(" ")
}

/// Calls cargo in the root.
pub(crate) fn cargo(arguments: &[&str], environment: &[(&str, &str)]) -> Result<(), String> {
    run(command("cargo").args(arguments).envs(environment.iter().copied()))
}

/// Whether `cargo NAME` exists.
pub(crate) fn has_cargo(name: &str) -> bool {
    output(command("cargo").args([name, "--version"])).is_some()
}

/// What a command prints, if it can be run and ends well.
pub(crate) fn output(command: &mut Command) -> Option<String> {
    let done = command.stderr(Stdio::null()).output().ok()?;
    done.status.success().then(|| String::from_utf8_lossy(&done.stdout).trim().to_owned())
}
