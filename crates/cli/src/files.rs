//! Files for lines: all checked before anything is written, each written whole or not at
//! all, none overwritten unless asked.

use std::collections::BTreeSet;
use std::ffi::OsString;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use linewright::{Exporter, Piece, Settings, exporter, extensions};
use tempfile::{NamedTempFile, TempPath};

use crate::exit::Failure;
use crate::read::{STANDARD_INPUT, path_name};

/// What stands for the line's number in a file name.
const NUMBER: &str = "{line}";

/// The files of a run.
pub struct Outputs {
    targets: Vec<Target>,
    /// Whether every line has a file of its own.
    many: bool,
    force: bool,
    /// Written beside their goals, and not yet moved there.
    staged: Vec<(TempPath, PathBuf)>,
}

/// One `--output`.
struct Target {
    path: PathBuf,
    exporter: Box<dyn Exporter>,
}

impl Outputs {
    /// Checks all files of a run whose lines have these numbers; `sources` are the files
    /// that it reads, each with what it is called.
    pub fn check(
        paths: &[PathBuf],
        numbers: std::ops::Range<u64>,
        force: bool,
        settings: &Settings,
        sources: &[(&'static str, &Path)],
    ) -> Result<Self, Failure> {
        let many = numbers.end - numbers.start > 1;
        let sources: Vec<(&str, PathBuf)> = sources
            .iter()
            .filter_map(|(what, path)| Some((*what, fs::canonicalize(path).ok()?)))
            .collect();
        let mut targets = Vec::with_capacity(paths.len());
        let mut folders = BTreeSet::new();
        let mut seen = BTreeSet::new();
        for path in paths {
            let exporter = exporter_of(path, settings)?;
            let folder = folder(path);
            let real = fs::canonicalize(&folder).and_then(|real| {
                if real.is_dir() {
                    Ok(real)
                } else {
                    Err(io::ErrorKind::NotADirectory.into())
                }
            });
            let real = real.map_err(|error| {
                Failure::write(format!(
                    "{} cannot be written: the folder {} cannot be used: {error}\n  hint: make the folder first",
                    path_name(path),
                    path_name(&folder)
                ))
            })?;
            for number in numbers.clone() {
                let file = file_name(path, number, many);
                let goal = folder.join(&file);
                check_goal(&goal, force, &sources)?;
                if !seen.insert(real.join(file)) {
                    return Err(Failure::usage(format!(
                        "{} would be written twice\n  hint: give every --output its own name",
                        path_name(&goal)
                    )));
                }
            }
            folders.insert(folder);
            targets.push(Target {
                path: path.clone(),
                exporter,
            });
        }
        for folder in &folders {
            // Whether files can be made there is known by making one.
            beside(folder).map_err(|error| unwritable(folder, &error))?;
        }
        Ok(Self {
            targets,
            many,
            force,
            staged: Vec::new(),
        })
    }

    /// Writes the files of one piece beside their goals.
    pub fn stage(&mut self, number: u64, piece: &dyn Piece) -> Result<(), Failure> {
        for target in &self.targets {
            let folder = folder(&target.path);
            let goal = folder.join(file_name(&target.path, number, self.many));
            let bytes = target.exporter.bytes(piece);
            let bytes =
                bytes.map_err(|error| Failure::write(format!("{}: {error}", path_name(&goal))))?;
            let written = beside(&folder).and_then(|mut file| {
                file.write_all(&bytes)?;
                file.as_file().sync_all()?;
                Ok(file.into_temp_path())
            });
            let written = written.map_err(|error| unwritable(&goal, &error))?;
            self.staged.push((written, goal));
        }
        Ok(())
    }

    /// Moves all files to their goals, and says which; if one cannot be moved, those that
    /// were new are taken away again.
    pub fn finish(self) -> Result<Vec<PathBuf>, Failure> {
        let mut done: Vec<PathBuf> = Vec::with_capacity(self.staged.len());
        let mut fresh = Vec::new();
        for (file, goal) in self.staged {
            let is_new = fs::symlink_metadata(&goal).is_err();
            let moved = if self.force {
                file.persist(&goal)
            } else {
                file.persist_noclobber(&goal)
            };
            if let Err(fault) = moved {
                for goal in &fresh {
                    // Nothing more can be done about one that stays.
                    let _ = fs::remove_file(goal);
                }
                return Err(unwritable(&goal, &fault.error));
            }
            if is_new {
                fresh.push(goal.clone());
            }
            done.push(goal);
        }
        Ok(done)
    }
}

/// A new file in a folder, with the rights that files there usually get.
fn beside(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".linewright-");
    #[cfg(unix)]
    let rights = {
        use std::os::unix::fs::PermissionsExt as _;
        fs::Permissions::from_mode(0o666)
    };
    #[cfg(unix)]
    builder.permissions(rights);
    builder.tempfile_in(folder)
}

fn folder(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_owned(),
        _ => PathBuf::from("."),
    }
}

fn exporter_of(path: &Path, settings: &Settings) -> Result<Box<dyn Exporter>, Failure> {
    if path == Path::new(STANDARD_INPUT) {
        return Err(Failure::usage(
            "the page goes to the standard output anyway, and - is no file\n  hint: give the name of a file, such as line.mid",
        ));
    }
    let text = path.to_string_lossy();
    if text.ends_with(std::path::is_separator) {
        return Err(Failure::usage(format!(
            "{} is a folder\n  hint: give the name of a file, such as {}line.mid",
            path_name(path),
            path_name(path)
        )));
    }
    let extension = path.extension().and_then(|extension| extension.to_str());
    extension.and_then(|extension| exporter(extension, settings)).ok_or_else(|| {
        let known: Vec<String> = extensions().map(|(extension, name)| format!(".{extension} ({name})")).collect();
        Failure::usage(format!(
            "{}: the format is told by the extension, and this is none that is known\n  hint: end the name with {}",
            path_name(path),
            known.join(", ")
        ))
    })
}

/// The name of the file for a line: its number for `{line}`, else before the extension where
/// there are several lines.
fn file_name(path: &Path, number: u64, many: bool) -> OsString {
    let name = path.file_name().unwrap_or_default();
    if let Some(text) = name.to_str().filter(|text| text.contains(NUMBER)) {
        return text.replace(NUMBER, &number.to_string()).into();
    }
    if !many {
        return name.to_owned();
    }
    let mut numbered = path.file_stem().unwrap_or_default().to_owned();
    numbered.push(format!("-{number}."));
    numbered.push(path.extension().unwrap_or_default());
    numbered
}

fn check_goal(goal: &Path, force: bool, sources: &[(&str, PathBuf)]) -> Result<(), Failure> {
    let Ok(there) = fs::symlink_metadata(goal) else {
        return Ok(());
    };
    let name = path_name(goal);
    if there.is_dir() {
        return Err(Failure::write(format!(
            "{name} is a folder\n  hint: give the name of a file"
        )));
    }
    let real = fs::canonicalize(goal).ok();
    if let Some((what, _)) = sources.iter().find(|(_, path)| Some(path) == real.as_ref()) {
        return Err(Failure::write(format!(
            "{name} is the {what} itself\n  hint: write to another file"
        )));
    }
    if !force {
        return Err(Failure::write(format!(
            "{name} exists already, and nothing was written\n  hint: give another name, or --force to overwrite it"
        )));
    }
    Ok(())
}

fn unwritable(path: &Path, error: &io::Error) -> Failure {
    let hint = match error.kind() {
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            "write to a folder of your own"
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "make room on the disk",
        io::ErrorKind::AlreadyExists => "give another name, or --force to overwrite it",
        io::ErrorKind::InvalidFilename => "give a shorter name",
        _ => "give another name or folder",
    };
    // What the file beside the goal was called says nothing to people.
    let told = error.to_string();
    let told = told.split(" at path ").next().unwrap_or_default();
    Failure::write(format!(
        "{} cannot be written: {told}\n  hint: {hint}",
        path_name(path)
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_number_stands_where_it_is_asked_for_or_before_the_extension() {
        let name = |path: &str, many| file_name(Path::new(path), 7, many).into_string().unwrap();
        assert_eq!(name("a/b.mid", false), "b.mid");
        assert_eq!(name("a/b.mid", true), "b-7.mid");
        assert_eq!(name("a/b.c.mid", true), "b.c-7.mid");
        assert_eq!(name("a/{line} b.mid", true), "7 b.mid");
        assert_eq!(name("{line}.mid", false), "7.mid");
    }
}
