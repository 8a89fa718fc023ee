//! The page: the module for the browser, the static files, and their tests.

use crate::install::Install;
use crate::node::{self, Node};
use crate::shell::{cargo, command, output, run, step, target};
use crate::wasm;

/// Everything that the server embeds and any web host can give: ui/dist.
pub(crate) fn build(install: Install) -> Result<Node, String> {
    step("module", || wasm::build(install, &wasm::folder()))?;
    let node = Node::find(install)?;
    step("page", || {
        node.packages()?;
        run(node.command("npm").args(["run", "--silent", "build"]))?;
        run(node.command("node").arg("pack.mjs"))
    })?;
    Ok(node)
}

/// Types, units, the same numbers natively and in the browser's module, and a real browser.
pub(crate) fn test(install: Install) -> Result<(), String> {
    let node = build(install)?;
    step("types", || run(node.command("npm").args(["run", "--silent", "check"])))?;
    step("page units", || run(node.command("npm").args(["run", "--silent", "test"])))?;
    step("native answers", || {
        let file = target().join("answers.json");
        let answers = output(command("cargo").args([
            "run",
            "--quiet",
            "--locked",
            "--package",
            "huewright-desk",
            "--example",
            "answers",
        ]))
        .ok_or("the example `answers` of huewright-desk failed")?;
        std::fs::write(&file, answers).map_err(|e| format!("{}: {e}", file.display()))
    })?;
    // Built after the page, which it carries.
    step("program", || cargo(&["build", "--quiet", "--locked"], &[]))?;
    step("browser tests", || {
        node::browser(install)?;
        run(node
            .command("npm")
            .args(["run", "--silent", "browser"])
            .env("HUEWRIGHT_ANSWERS", target().join("answers.json"))
            .env("HUEWRIGHT_PROGRAM", target().join("debug/huewright")))
    })
}

/// How quick the page is, measured in a real browser.
pub(crate) fn bench(install: Install) -> Result<(), String> {
    let node = build(install)?;
    node::browser(install)?;
    run(node.command("node").arg("tests/bench.mjs"))
}

/// Builds the page and the program, and becomes the server, so that signals reach it.
pub(crate) fn start(install: Install, arguments: &[String]) -> Result<(), String> {
    build(install)?;
    step("program", || cargo(&["build", "--quiet", "--release", "--locked", "--package", "huewright-cli"], &[]))?;
    let mut server = command(target().join("release/huewright"));
    server.arg("serve").args(arguments);
    become_program(&mut server)
}

#[cfg(unix)]
fn become_program(command: &mut std::process::Command) -> Result<(), String> {
    use std::os::unix::process::CommandExt;
    Err(format!("the server cannot be started: {}", command.exec()))
}

#[cfg(not(unix))]
fn become_program(command: &mut std::process::Command) -> Result<(), String> {
    run(command)
}
