//! Everything that a contributor or CI runs: `cargo xtask test`, `cargo xtask accuracy`.
//!
//! No dependencies, so that it compiles at once. Quick checks come first.

#![expect(clippy::print_stdout, clippy::print_stderr, reason = "this is a tool for the terminal")]

mod accuracy;
mod install;
mod node;
mod page;
mod shell;
mod tidy;
mod wasm;

use install::Install;
use shell::{cargo, root, step};
use std::process::ExitCode;

const HELP: &str = "cargo xtask COMMAND [--no-install]

  start      the workbench: builds the page and the program, and serves them (what follows goes to `huewright serve`)
  test       everything that CI runs: tidy, format, lints, docs, tests, the accuracy table, the page in a real browser
  tidy       checks of the tree that need no compiler
  accuracy   run the tests that write accuracy rows, and render docs/accuracy.md and the README's rows from them
  wasm       the module for the browser alone
  page       the module and the page: static files in ui/dist, for the server or any web host
  bench      how quick the page is, in a real browser

What is missing (a compiler for WebAssembly, node, Chromium) is installed on Debian as root, and said;
--no-install stops that and prints what to do.
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let command = arguments.first().cloned().unwrap_or_default();
    let rest: Vec<String> = arguments.iter().skip(1).filter(|a| *a != "--no-install").cloned().collect();
    let install = if arguments.iter().any(|a| a == "--no-install") { Install::Forbidden } else { Install::Allowed };
    // A mistyped --no-install must not install.
    if command != "start"
        && let Some(stray) = rest.first()
    {
        eprintln!("xtask: '{stray}' is not known here\n\n{HELP}");
        return ExitCode::FAILURE;
    }
    let result = match command.as_str() {
        "test" => test(install),
        "tidy" => tidy::run(),
        "accuracy" => accuracy::clear().and_then(|()| accuracy::run_tests()).and_then(|()| accuracy::render(true)),
        "start" => page::start(install, &rest),
        "wasm" => step("module", || wasm::build(install, &wasm::folder())),
        "page" => page::build(install).map(|_| ()),
        "bench" => page::bench(install),
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

fn test(install: Install) -> Result<(), String> {
    step("tidy", tidy::run)?;
    step("format", || cargo(&["fmt", "--all", "--check"], &[]))?;
    step("lints", || cargo(&["clippy", "--workspace", "--all-targets", "--", "-D", "warnings"], &[]))?;
    step("docs", || cargo(&["doc", "--workspace", "--no-deps", "--quiet"], &[("RUSTDOCFLAGS", "-D warnings")]))?;
    accuracy::clear()?;
    step("tests", accuracy::run_tests)?;
    step("accuracy", || accuracy::render(false))?;
    page::test(install)?;
    println!("all checks passed in {}", root().display());
    Ok(())
}
