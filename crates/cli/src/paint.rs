//! Swatches and lines for the terminal.

use crate::arguments::Swatches;
use crate::outcome::Failure;
use std::io::{IsTerminal, Write};

/// Prints, with or without colour.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Painter {
    colour: bool,
}

impl Painter {
    /// Colour where it was asked for, or where the terminal says that it can show 24 bits.
    pub(crate) fn new(when: Swatches) -> Self {
        let env = |name| std::env::var(name).unwrap_or_default();
        let can = || {
            std::io::stdout().is_terminal()
                && std::env::var_os("NO_COLOR").is_none()
                && (["truecolor", "24bit"].contains(&env("COLORTERM").as_str()) || env("TERM").contains("direct"))
        };
        Self {
            colour: match when {
                Swatches::Always => true,
                Swatches::Never => false,
                Swatches::Auto => can(),
            },
        }
    }

    /// Whether colours are drawn.
    pub(crate) fn draws(&self) -> bool {
        self.colour
    }

    /// A patch `wide` cells wide, or the hex code in brackets.
    pub(crate) fn patch(&self, srgb: &str, wide: usize) -> String {
        match rgb(srgb) {
            Some((r, g, b)) if self.colour => format!("\x1b[48;2;{r};{g};{b}m{}\x1b[0m", " ".repeat(wide)),
            _ => format!("[{srgb}]"),
        }
    }

    /// One cell of a strip; nothing where no colour is drawn.
    pub(crate) fn cell(&self, srgb: &str) -> String {
        if self.colour { self.patch(srgb, 1) } else { String::new() }
    }
}

fn rgb(hex: &str) -> Option<(u8, u8, u8)> {
    let byte = |i: usize| u8::from_str_radix(hex.get(i..i + 2)?, 16).ok();
    Some((byte(1)?, byte(3)?, byte(5)?))
}

/// Prints a line; a reader that went away ends the command quietly.
pub(crate) fn say(line: impl AsRef<str>) -> Result<(), Failure> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{}", line.as_ref()).map_err(|error| Failure::Write { path: "output".to_owned(), error })
}

/// Breaks `text` to `width` with `indent` spaces before each line.
pub(crate) fn wrapped(text: &str, indent: usize, width: usize) -> String {
    let pad = " ".repeat(indent);
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(last) if last.chars().count() + word.chars().count() < width => {
                last.push(' ');
                last.push_str(word);
            }
            _ => lines.push(format!("{pad}{word}")),
        }
    }
    lines.join("\n")
}

/// A Lab triple with its names.
pub(crate) fn lab(lab: [f64; 3]) -> String {
    format!("L* {:.1}  a* {:+.1}  b* {:+.1}", lab[0], lab[1], lab[2])
}

/// Sources for `--why`.
pub(crate) fn sources(list: &[huewright::Source]) -> Result<(), Failure> {
    say("")?;
    say("Where the numbers come from")?;
    for s in list {
        say(format!("  {} ({})", s.what, s.which))?;
        say(wrapped(&s.citation, 4, 96))?;
        say(wrapped(&s.status, 4, 96))?;
        for caveat in &s.caveats {
            say(wrapped(&format!("beware: {caveat}"), 4, 96))?;
        }
    }
    Ok(())
}

/// Notes under an answer.
pub(crate) fn notes(list: &[String]) -> Result<(), Failure> {
    for note in list {
        say(wrapped(&format!("note: {note}"), 2, 98))?;
    }
    Ok(())
}
