//! Renders docs/accuracy.md, and the README's best and worst rows, from the sheets that the tests wrote.
//!
//! `cargo xtask accuracy` writes them; `cargo xtask test` only compares, and fails where the documents have drifted.

#![allow(clippy::print_stderr, reason = "a tool for the terminal")]

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::{env, fs};

const BEGIN: &str = "<!-- accuracy rows: rendered by cargo xtask accuracy -->";
const END: &str = "<!-- end of accuracy rows -->";
/// Rows of each kind in the README.
const IN_README: usize = 5;

fn main() -> ExitCode {
    let write = env::args().any(|a| a == "--write");
    match run(write) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("accuracy: {message}");
            ExitCode::FAILURE
        }
    }
}

fn run(write: bool) -> Result<(), String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().ok_or("the tests lie in the workspace")?.to_path_buf();
    let rows = read_rows(&root)?;
    let readme = root.join("README.md");
    let old = fs::read_to_string(&readme).map_err(|e| format!("README.md: {e}"))?;
    let documents = [(root.join("docs/accuracy.md"), table(&rows)), (readme, with_rows(&old, &rows)?)];
    for (path, text) in documents {
        if write {
            fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display()))?;
        } else if fs::read_to_string(&path).unwrap_or_default() != text {
            return Err(format!(
                "{} has drifted from what the tests measured; run `cargo xtask accuracy`",
                path.display()
            ));
        }
    }
    Ok(())
}

/// Rows of every sheet, sheets by name.
fn read_rows(root: &Path) -> Result<Vec<Value>, String> {
    let target = env::var_os("CARGO_TARGET_DIR").map_or_else(|| PathBuf::from("target"), PathBuf::from);
    let folder = root.join(target).join("accuracy");
    let mut sheets: Vec<PathBuf> = fs::read_dir(&folder)
        .map_err(|e| format!("{}: {e}; run the tests first", folder.display()))?
        .filter_map(|entry| entry.ok().map(|e| e.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "jsonl"))
        .collect();
    sheets.sort();
    let mut rows = Vec::new();
    for sheet in sheets {
        let text = fs::read_to_string(&sheet).map_err(|e| format!("{}: {e}", sheet.display()))?;
        for line in text.lines() {
            rows.push(serde_json::from_str(line).map_err(|e| format!("{}: {e}", sheet.display()))?);
        }
    }
    if rows.is_empty() { Err("no rows were written".to_owned()) } else { Ok(rows) }
}

fn word<'r>(row: &'r Value, key: &str) -> &'r str {
    row[key].as_str().unwrap_or("")
}

/// Text that may stand in a cell.
fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('\n', " ")
}

fn table(rows: &[Value]) -> String {
    let hits = rows.iter().filter(|r| r["hit"] == true).count();
    let mut text = format!(
        "# Accuracy\n\nRendered by `cargo xtask accuracy` from what the tests measured; do not edit. {} rows, {hits} hit, {} miss.\n\
         A miss is asserted: the row says why, and the test fails when it turns into a hit. What a status means:\n\
         `published` was read in the source; `derived`, `second method` and `other library` are cross-checks; `common practice`\n\
         has no source; `calibration` set a default and checks nothing.\n",
        rows.len(),
        rows.len() - hits
    );
    let mut sheet = String::new();
    for row in rows {
        let name = word(row, "key").split('/').next().unwrap_or("").to_owned();
        if name != sheet {
            text.push_str(&format!("\n## {name}\n\n| what | source | status | expected | ours | off by | allowed | |\n|---|---|---|---|---|---|---|---|\n"));
            sheet = name;
        }
        let end = match row["why"].as_str() {
            Some(why) => format!("**miss**: {}", cell(why)),
            None => "hit".to_owned(),
        };
        text.push_str(&format!(
            "| {} | {} | {} | {} | {} | {} | {} | {end} |\n",
            cell(word(row, "what")),
            cell(word(row, "source")),
            cell(word(row, "status")),
            cell(word(row, "expected")),
            cell(word(row, "ours")),
            cell(&format!("{} {}", word(row, "miss"), word(row, "unit"))),
            cell(&format!("{} {}", word(row, "tolerance"), word(row, "unit")))
        ));
    }
    text
}

/// The README with its block replaced: the misses that lie farthest out, and the hits that are nearest to their source.
fn with_rows(readme: &str, rows: &[Value]) -> Result<String, String> {
    let (Some(begin), Some(end)) = (readme.find(BEGIN), readme.find(END)) else {
        return Err(format!("README.md lacks the lines '{BEGIN}' and '{END}'"));
    };
    // Where nothing may be off (a word, a byte) a miss counts more than any share.
    let share = |r: &Value| r["share"].as_f64().unwrap_or(f64::MAX);
    let mut misses: Vec<&Value> = rows.iter().filter(|r| r["hit"] == false).collect();
    misses.sort_by(|a, b| share(b).total_cmp(&share(a)).then(word(a, "key").cmp(word(b, "key"))));
    one_of_each(&mut misses);
    // A calibration checks nothing, a law has no number of its own, and where nothing may be off there is no share.
    let tells = |r: &&Value| {
        r["hit"] == true
            && r["share"].is_number()
            && !["law", "calibration", "common practice", "published, seen"]
                .iter()
                .any(|s| word(r, "status").starts_with(s))
    };
    let mut best: Vec<&Value> = rows.iter().filter(tells).collect();
    best.sort_by(|a, b| share(a).total_cmp(&share(b)).then(word(a, "key").cmp(word(b, "key"))));
    one_of_each(&mut best);
    let mut block = format!("{BEGIN}\n| | what | source | status | off by | allowed |\n|---|---|---|---|---|---|\n");
    for (kind, list) in [("worst", misses), ("best", best)] {
        for row in list.into_iter().take(IN_README) {
            block.push_str(&format!(
                "| {kind} | {} | {} | {} | {} {} | {} {} |\n",
                cell(word(row, "what")),
                cell(word(row, "source")),
                cell(word(row, "status")),
                word(row, "miss"),
                word(row, "unit"),
                word(row, "tolerance"),
                word(row, "unit")
            ));
        }
    }
    Ok(format!("{}{block}{}", &readme[..begin], &readme[end..]))
}

/// Keeps the first row of each sheet: the README shows the breadth, docs/accuracy.md the depth.
fn one_of_each(rows: &mut Vec<&Value>) {
    let mut seen: Vec<String> = Vec::new();
    rows.retain(|row| {
        let sheet = word(row, "key").split('/').next().unwrap_or("").to_owned();
        let fresh = !seen.contains(&sheet);
        seen.push(sheet);
        fresh
    });
}
