//! The `huewright` command: reads arguments and files, asks the façade, and shows the answer.

#![expect(clippy::print_stderr, reason = "this is the crate that speaks to a person")]

mod arguments;
mod demo;
mod input;
mod look;
mod matching;
mod materials;
mod outcome;
mod paint;
mod pictures;
mod ribbon;

use arguments::{Cli, Command};
use clap::Parser;
use huewright::Engine;
use outcome::{Failure, Outcome};
use std::process::ExitCode;

fn main() -> ExitCode {
    let cli = Cli::parse();
    match run(cli) {
        Ok(Outcome::Done) => ExitCode::SUCCESS,
        Ok(Outcome::NoAnswer) => ExitCode::from(1),
        Err(failure) => {
            if !failure.is_broken_pipe() {
                eprintln!("huewright: {failure}");
            }
            ExitCode::from(2)
        }
    }
}

fn run(cli: Cli) -> Result<Outcome, Failure> {
    let engine = Engine::new()?;
    match cli.command {
        Command::Look(a) => look::run(&engine, &a),
        Command::Ribbon(a) => ribbon::run(&engine, &a),
        Command::Match(a) => matching::run(&engine, &a),
        Command::Materials(a) => materials::run(&engine, &a),
        Command::Demo(a) => demo::run(&engine, &a),
    }
}
