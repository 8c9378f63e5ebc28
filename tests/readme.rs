//! The README tells the truth: the output that it shows is the output that comes, and every command that it names
//! works. `LINEWRIGHT_BLESS=1 cargo test -p linewright-cli --test readme` writes the shown output anew.

use std::path::{Path, PathBuf};
use std::process::Command;

const SHELL: &str = "```console\n";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .canonicalize()
        .expect("the repository")
}

fn readme() -> String {
    std::fs::read_to_string(root().join("README.md")).expect("README.md")
}

/// Commands of one block with the text that follows each.
fn commands(block: &str) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    for line in block.lines() {
        match line.strip_prefix("$ ") {
            Some(command) => found.push((command.to_owned(), String::new())),
            None => {
                let (_, output) = found.last_mut().expect("a block begins with a command");
                output.push_str(line);
                output.push('\n');
            }
        }
    }
    found
}

fn blocks(text: &str) -> Vec<&str> {
    text.split(SHELL)
        .skip(1)
        .map(|rest| rest.split("```").next().expect("a closed block"))
        .collect()
}

/// The program's own arguments in a command line, if it is one of ours.
fn arguments(command: &str) -> Option<Vec<&str>> {
    let command = command.split(" # ").next().expect("a command").trim();
    let rest = command
        .strip_prefix("cargo run --release --")
        .or_else(|| command.strip_prefix("linewright"))?;
    Some(rest.split_whitespace().collect())
}

/// Runs a command in a copy of the examples, and returns what it prints.
fn run(arguments: &[&str]) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let examples = folder.path().join("examples");
    std::fs::create_dir(&examples).expect("a folder for the examples");
    std::fs::create_dir(folder.path().join("lines")).expect("a folder for the lines");
    for entry in std::fs::read_dir(root().join("examples")).expect("the examples") {
        let path = entry.expect("an example").path();
        std::fs::copy(&path, examples.join(path.file_name().expect("a name"))).expect("a copy");
    }
    let readme = readme();
    let style = readme
        .split("```toml\n")
        .nth(1)
        .expect("a style")
        .split("```")
        .next()
        .expect("a closed block");
    std::fs::write(folder.path().join("late-landing.toml"), style).expect("the README's style");
    let output = Command::new(env!("CARGO_BIN_EXE_linewright"))
        .args(arguments)
        .current_dir(folder.path())
        .output()
        .expect("the program runs");
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{arguments:?} failed: {errors}");
    let text = String::from_utf8(output.stdout).expect("text");
    text.lines()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect()
}

#[test]
fn every_command_works_and_prints_what_is_shown() {
    let mut text = readme();
    let mut seen = 0;
    for block in blocks(&readme()) {
        let mut fresh = String::new();
        for (command, shown) in commands(block) {
            fresh.push_str(&format!("$ {command}\n"));
            let Some(arguments) = arguments(&command) else {
                continue;
            };
            seen += 1;
            let printed = run(&arguments);
            // Blocks of several commands show none of their output.
            if commands(block).len() == 1 {
                fresh.push_str(&printed);
                if std::env::var_os("LINEWRIGHT_BLESS").is_none() {
                    assert_eq!(shown, printed, "`{command}` prints something else now");
                }
            }
        }
        text = text.replacen(
            &format!("{SHELL}{block}```"),
            &format!("{SHELL}{fresh}```"),
            1,
        );
    }
    assert!(seen >= 10, "only {seen} commands found in the README");
    if std::env::var_os("LINEWRIGHT_BLESS").is_some() {
        std::fs::write(root().join("README.md"), text).expect("README.md is written");
    }
}

#[test]
fn the_chart_of_the_readme_is_read() {
    let readme = readme();
    let chart = readme
        .split("```text\n")
        .nth(1)
        .expect("a chart")
        .split("```")
        .next()
        .expect("a closed block");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("readme.chart");
    std::fs::write(&path, chart).expect("the chart");
    assert!(run(&["chart", path.to_str().expect("a plain path")]).contains("No faults"));
}
