//! The `huewright` command: reads arguments and files, asks the façade, and shows the answer.

#![expect(clippy::print_stderr, reason = "this is the crate that speaks to a person")]

mod arguments;
mod correct;
mod demo;
mod gamut;
mod input;
mod look;
mod matching;
mod materials;
mod outcome;
mod paint;
mod pictures;
mod plan;
mod plan_chamber;
mod ribbon;
mod serve;

use arguments::{Cli, Command};
use clap::Parser;
use desk::one_line;
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
                eprintln!("huewright: {}", one_line(&failure.to_string()));
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
        Command::Plan(a) => plan::run(&engine, &a),
        Command::Correct(a) => correct::run(&engine, &a),
        Command::Gamut(a) => gamut::run(&engine, &a),
        Command::Materials(a) => materials::run(&engine, &a),
        Command::Demo(a) => demo::run(&engine, &a),
        // The desk has an engine of its own.
        Command::Serve(a) => serve::run(&a),
    }
}
