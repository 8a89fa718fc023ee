//! Everything that a contributor or CI runs: `cargo xtask test`, `cargo xtask accuracy`.
//!
//! No dependencies, so that it compiles at once. Quick checks come first.

#![expect(clippy::print_stdout, clippy::print_stderr, reason = "this is a tool for the terminal")]

mod accuracy;
mod install;
mod shell;
mod tidy;
mod wasm;

use install::Install;
use shell::{cargo, root, step};
use std::process::ExitCode;

const HELP: &str = "cargo xtask COMMAND

  test       everything that CI runs: tidy, format, lints, docs, tests, the accuracy table
  tidy       checks of the tree that need no compiler
  accuracy   run the tests that write accuracy rows, and render docs/accuracy.md and the README's rows from them
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let command = arguments.first().cloned().unwrap_or_default();
    let install = if arguments.iter().any(|a| a == "--no-install") { Install::Forbidden } else { Install::Allowed };
    let result = match command.as_str() {
        "test" => test(),
        "tidy" => tidy::run(),
        "accuracy" => accuracy::clear().and_then(|()| accuracy::run_tests()).and_then(|()| accuracy::render(true)),
        "wasm" => step("module", || wasm::build(install, &wasm::folder())),
        "" | "help" | "--help" | "-h" => {
            println!("{HELP}");
            Ok(())
        }
        other => Err(format!("unknown command '{other}'\n\n{HELP}")),
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("xtask: {message}");
            ExitCode::FAILURE
        }
    }
}

fn test() -> Result<(), String> {
    step("tidy", tidy::run)?;
    step("format", || cargo(&["fmt", "--all", "--check"], &[]))?;
    step("lints", || cargo(&["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"], &[]))?;
    step("docs", || cargo(&["doc", "--workspace", "--no-deps", "--quiet"], &[("RUSTDOCFLAGS", "-D warnings")]))?;
    accuracy::clear()?;
    step("tests", accuracy::run_tests)?;
    step("accuracy", || accuracy::render(false))?;
    println!("all checks passed in {}", root().display());
    Ok(())
}
