//! Files of lines, and folders of them.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use linewright::LINE_EXTENSIONS;

use crate::output;
use crate::output::path_name;

/// A file of lines, or what is wrong with where one should be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// A file; whether it can be read is not known yet.
    File(PathBuf),
    /// A folder that cannot be used, and why in a few words.
    Trouble(PathBuf, String),
}

impl Found {
    /// Where it is, whatever it is.
    pub fn path(&self) -> &Path {
        match self {
            Found::File(path) | Found::Trouble(path, _) => path,
        }
    }

    /// The file, if it is one.
    pub fn file(&self) -> Option<&Path> {
        match self {
            Found::File(path) => Some(path),
            Found::Trouble(..) => None,
        }
    }
}

/// The files that are meant, in order: of a folder those that can hold lines, by name; hidden
/// ones, folders in it and the files that the run itself `writes` are left out. What is named
/// twice is taken once.
pub fn files(paths: &[PathBuf], writes: &[PathBuf]) -> Vec<Found> {
    let real = |path: &PathBuf| fs::canonicalize(path).ok();
    let written: BTreeSet<PathBuf> = writes.iter().filter_map(real).collect();
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for path in paths {
        if !path.is_dir() {
            add(&mut found, &mut seen, path.clone());
            continue;
        }
        let not_written = |path: &PathBuf| !real(path).is_some_and(|real| written.contains(&real));
        let files = in_folder(path).map(|mut files| {
            files.retain(not_written);
            files
        });
        match files {
            Err(error) => found.push(Found::Trouble(path.clone(), error.to_string())),
            Ok(files) if files.is_empty() => {
                found.push(Found::Trouble(path.clone(), no_lines()));
            }
            Ok(files) => files
                .into_iter()
                .for_each(|file| add(&mut found, &mut seen, file)),
        }
    }
    found
}

fn add(found: &mut Vec<Found>, seen: &mut BTreeSet<PathBuf>, path: PathBuf) {
    let real = fs::canonicalize(&path).unwrap_or_else(|_| path.clone());
    if seen.insert(real) {
        found.push(Found::File(path));
    } else {
        output::note(&format!(
            "{} is named twice and read once",
            path_name(&path)
        ));
    }
}

fn in_folder(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        let hidden = path
            .file_name()
            .is_some_and(|name| name.to_string_lossy().starts_with('.'));
        if !hidden && can_hold_lines(&path) && path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Whether a file's extension is one of those that files of lines have.
fn can_hold_lines(path: &Path) -> bool {
    let extension = path.extension().and_then(|extension| extension.to_str());
    extension.is_some_and(|extension| {
        LINE_EXTENSIONS
            .iter()
            .any(|known| known.eq_ignore_ascii_case(extension))
    })
}

/// What is wrong with a folder without lines.
fn no_lines() -> String {
    let known: Vec<String> = LINE_EXTENSIONS
        .iter()
        .map(|extension| format!(".{extension}"))
        .collect();
    format!(
        "no line is in this folder: files of lines end with {}",
        known.join(", ")
    )
}
