//! Prints how many lines of product code each crate has.

use std::path::{Path, PathBuf};

use linewright_workshop::count::count;

use super::Command;

pub(super) const COMMAND: Command = Command {
    name: "count",
    arguments: "[FOLDER]",
    about: "counts lines of Rust that are no tests, comments or blanks, by crate, in this source tree or another",
    run,
};

fn run(arguments: Vec<String>) -> Result<bool, String> {
    let top = match &arguments[..] {
        [] => Path::new(env!("CARGO_MANIFEST_DIR")).join("../.."),
        [folder] => PathBuf::from(folder),
        _ => return Err("FOLDER: give one at most".to_owned()),
    };
    let counted = count(&top).map_err(|e| format!("{}: {e}", top.display()))?;
    for (name, lines) in &counted {
        println!("{name:18}{lines:7}");
    }
    println!("{:18}{:7}", "all", counted.values().sum::<usize>());
    Ok(true)
}
