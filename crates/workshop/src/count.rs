//! Counts lines of product code: what is no test, comment or blank.
//!
//! The source is taken to be as `rustfmt` leaves it: an item ends at its own indentation.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Folders of a crate that hold others' business: its tests, or what was built.
const LEFT_OUT: [&str; 5] = ["src", "tests", "benches", "examples", "target"];

/// Lines of product code of every crate under `crates/` of a source tree, by the crate's folder.
///
/// # Errors
/// What cannot be read.
pub fn count(top: &Path) -> io::Result<BTreeMap<String, usize>> {
    let house = top.join("crates");
    let mut counted = BTreeMap::new();
    let mut folders = vec![house.clone()];
    while let Some(folder) = folders.pop() {
        if folder.join("Cargo.toml").is_file() {
            let name = folder.strip_prefix(&house).unwrap_or(&folder);
            let lines = of_crate(&folder.join("src"))?;
            counted.insert(name.to_string_lossy().into_owned(), lines);
        }
        let inside = entries(&folder)?.into_iter().filter(|path| path.is_dir());
        folders.extend(inside.filter(|path| !LEFT_OUT.iter().any(|name| path.ends_with(name))));
    }
    Ok(counted)
}

fn entries(folder: &Path) -> io::Result<Vec<PathBuf>> {
    fs::read_dir(folder)?
        .map(|entry| Ok(entry?.path()))
        .collect()
}

/// Lines of all files that are no modules for tests alone.
fn of_crate(src: &Path) -> io::Result<usize> {
    let mut files: BTreeMap<PathBuf, Counted> = BTreeMap::new();
    let mut folders = vec![src.to_owned()];
    while let Some(folder) = folders.pop() {
        for path in entries(&folder)? {
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let counted = of_text(&fs::read_to_string(&path)?);
                files.insert(path, counted);
            }
        }
    }
    let mut tests: BTreeSet<PathBuf> = BTreeSet::new();
    for (path, counted) in &files {
        let is_root = ["lib.rs", "main.rs", "mod.rs"]
            .iter()
            .any(|name| path.ends_with(name));
        let folder = if is_root {
            path.with_file_name("")
        } else {
            path.with_extension("")
        };
        for module in &counted.tests {
            tests.insert(folder.join(module));
            tests.insert(folder.join(module).with_extension("rs"));
        }
    }
    let product = files
        .iter()
        .filter(|(path, _)| !path.ancestors().any(|path| tests.contains(path)));
    Ok(product.map(|(_, counted)| counted.lines).sum())
}

/// What was counted in a file.
#[derive(Debug, Default, PartialEq, Eq)]
struct Counted {
    lines: usize,
    /// The modules in files of their own that are built for tests alone.
    tests: Vec<String>,
}

fn of_text(text: &str) -> Counted {
    let mut counted = Counted::default();
    let mut lines = text.lines();
    let mut for_tests = false;
    while let Some(line) = lines.next() {
        let code = line.trim();
        if code.starts_with("/*") {
            let mut rest = [line].into_iter().chain(&mut lines);
            rest.find(|line| line.contains("*/"));
        } else if code.is_empty() || code.starts_with("//") {
        } else if code == "#[cfg(test)]" || code.starts_with("#[cfg(all(test") {
            for_tests = true;
        } else if !for_tests {
            counted.lines += 1;
        } else if !code.starts_with("#[") {
            // The item after the attributes.
            for_tests = false;
            if let Some(module) = code.strip_suffix(';').and_then(module) {
                counted.tests.push(module.to_owned());
            }
            let indent = &line[..line.len() - line.trim_start().len()];
            if !code.ends_with([';', '}']) {
                lines.find(|line| {
                    let own = line
                        .strip_prefix(indent)
                        .is_some_and(|rest| rest.starts_with(['}', ']']));
                    own || (!code.ends_with(['{', '[', '(']) && line.ends_with(';'))
                });
            }
        }
    }
    counted
}

/// The name of a module that is told to be in a file of its own.
fn module(code: &str) -> Option<&str> {
    let (before, name) = code.split_once("mod ")?;
    (before.is_empty() || before.starts_with("pub")).then_some(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tests_comments_and_blanks_are_left_out() {
        let text = "\
//! About.

use a::b;
#[cfg(test)]
use c::{
    d,
    e,
};

/* A longer
   remark. */
fn one() {
    // A remark.
    two(); // counts
}

#[cfg(test)]
#[allow(dead_code)]
fn three(
    a: u8,
) -> u8 {
    a
}

#[cfg(test)]
const FOUR: u8 =
    4;

impl X {
    #[cfg(test)]
    fn five(self) {
        six();
    }

    fn seven(self) {}
}

#[cfg(test)]
pub(crate) mod samples;

#[cfg(all(test, unix))]
mod tests {
    fn eight() {
    }
}
";
        let wanted = Counted {
            lines: 7,
            tests: vec!["samples".to_owned()],
        };
        assert_eq!(of_text(text), wanted);
    }

    #[test]
    fn every_crate_is_counted_without_its_modules_for_tests() {
        let top = tempfile::tempdir().unwrap();
        let file = |path: &str, text: &str| {
            let path = top.path().join("crates").join(path);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        };
        file("one/Cargo.toml", "");
        file("one/src/lib.rs", "mod a;\n#[cfg(test)]\nmod tests;\n");
        file(
            "one/src/a.rs",
            "fn a() {}\n#[cfg(test)]\nmod samples;\nmod b;\n",
        );
        file("one/src/a/b.rs", "fn b() {}\n");
        file("one/src/a/samples.rs", "fn c() {}\n");
        file("one/src/tests/mod.rs", "mod deep;\n");
        file("one/src/tests/deep.rs", "fn d() {}\n");
        file("one/tests/outside.rs", "fn e() {}\n");
        file("one/two/Cargo.toml", "");
        file("one/two/src/main.rs", "fn main() {}\n");
        let wanted = BTreeMap::from([("one".to_owned(), 4), ("one/two".to_owned(), 1)]);
        assert_eq!(count(top.path()).unwrap(), wanted);
    }
}
