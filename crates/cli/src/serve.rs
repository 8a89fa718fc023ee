//! `huewright serve`.

use crate::arguments::ServeArgs;
use crate::outcome::{Failure, Outcome};
use crate::paint::say;
use server::{Options, Ready, serve, usual_folder};
use std::process::{Command, Stdio};
use std::sync::Arc;

pub(crate) fn run(a: &ServeArgs) -> Result<Outcome, Failure> {
    let folder = a.folder.clone().or_else(usual_folder).ok_or_else(|| {
        Failure::Words(
            "the system names no home folder in which records could be kept; give one with --folder".to_owned(),
        )
    })?;
    let options =
        Options { port: a.port, folder, host: a.host, names: a.allow_host.clone(), token_file: a.token_file.clone() };
    let report = Arc::new(|line: &str| eprintln!("huewright: {line}"));
    let ready = |ready: &Ready| {
        greet(ready).map_err(|failure| failure.to_string())?;
        if a.open && open(&ready.address).is_err() {
            eprintln!("huewright: no browser could be opened; open the address yourself");
        }
        Ok(())
    };
    serve(&options, report, ready).map_err(Failure::Words)?;
    Ok(Outcome::Done)
}

fn greet(ready: &Ready) -> Result<(), Failure> {
    if ready.moved {
        eprintln!(
            "huewright: port {} is taken, perhaps by another workbench; this is the next free one",
            server::USUAL_PORT
        );
    }
    if !ready.has_page {
        eprintln!("huewright: the page has not been built; run `cargo xtask start` for it");
    }
    if ready.hidden_token {
        eprintln!("huewright: add ?token= and the token of the file to the address");
    }
    if ready.network {
        eprintln!("huewright: whoever has the token can read and change all records; traffic is not encrypted");
    }
    let address = &ready.address;
    say(format!("Huewright is at {address} and keeps records in {}; Ctrl-C stops it.", ready.folder.display()))
}

/// The way of each system to open an address.
fn open(address: &str) -> std::io::Result<()> {
    let (program, before): (&str, &[&str]) = if cfg!(windows) {
        ("rundll32", &["url.dll,FileProtocolHandler"])
    } else if cfg!(target_os = "macos") {
        ("open", &[])
    } else {
        ("xdg-open", &[])
    };
    let quiet = Stdio::null;
    Command::new(program).args(before).arg(address).stdin(quiet()).stdout(quiet()).stderr(quiet()).spawn().map(|_| ())
}
