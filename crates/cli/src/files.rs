//! Files for lines: all checked before anything is written, each written whole or not at
//! all, none overwritten unless asked.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use linewright::{Exporter, Piece, Settings, exporter, extensions};
use tempfile::{NamedTempFile, TempPath};

use crate::exit::Failure;
use crate::output::path_name;
use crate::read::STANDARD_INPUT;

/// What stands for the line's number in a file name.
const NUMBER: &str = "{line}";

/// What stands for the name of the file that a line was read from.
pub const NAME: &str = "{name}";

/// Which line a file is for.
#[derive(Clone, Copy, Debug, Default)]
pub struct Which<'a> {
    /// The line's number.
    pub number: u64,
    /// Whether every line has a file of its own.
    pub many: bool,
    /// The name of the file that it was read from, without extension.
    pub name: Option<&'a str>,
}

/// Files that are to be written.
pub struct Goals {
    force: bool,
    /// The files that are read, each with what it is called.
    sources: Vec<(&'static str, PathBuf)>,
    /// The folders that files can be written to, as asked for and as they really are.
    folders: BTreeMap<PathBuf, PathBuf>,
    /// The files, as they really are.
    seen: BTreeSet<PathBuf>,
    /// Written beside their goals, and not yet moved there.
    staged: Vec<(TempPath, PathBuf)>,
}

impl Goals {
    /// No files yet; `sources` are those that are read, each with what it is called.
    pub fn new(force: bool, sources: &[(&'static str, &Path)]) -> Self {
        let real =
            |(what, path): &(&'static str, &Path)| Some((*what, fs::canonicalize(path).ok()?));
        Self {
            force,
            sources: sources.iter().filter_map(real).collect(),
            folders: BTreeMap::new(),
            seen: BTreeSet::new(),
            staged: Vec::new(),
        }
    }

    /// Checks that a file can be written, and is asked for once only.
    pub fn check(&mut self, goal: &Path) -> Result<(), Failure> {
        let folder = folder(goal);
        let real = match self.folders.get(&folder) {
            Some(real) => real.clone(),
            None => {
                let real = real_folder(&folder, goal)?;
                // Whether files can be made there is known by making one.
                beside(&folder).map_err(|error| unwritable(&folder, &error))?;
                self.folders.insert(folder, real.clone());
                real
            }
        };
        check_goal(goal, self.force, &self.sources)?;
        if !self
            .seen
            .insert(real.join(goal.file_name().unwrap_or_default()))
        {
            return Err(Failure::usage(format!(
                "{} would be written twice\n  hint: give every --output its own name",
                path_name(goal)
            )));
        }
        Ok(())
    }

    /// Writes a file beside its goal.
    pub fn stage(&mut self, goal: PathBuf, bytes: &[u8]) -> Result<(), Failure> {
        let written = beside(&folder(&goal)).and_then(|mut file| {
            file.write_all(bytes)?;
            file.as_file().sync_all()?;
            Ok(file.into_temp_path())
        });
        let written = written.map_err(|error| unwritable(&goal, &error))?;
        self.staged.push((written, goal));
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

/// The files of a run, a format for each `--output`.
pub struct Outputs {
    targets: Vec<(PathBuf, Box<dyn Exporter>)>,
    /// Whether every line has a file of its own.
    many: bool,
    goals: Goals,
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
        let mut goals = Goals::new(force, sources);
        let mut targets = Vec::with_capacity(paths.len());
        for path in paths {
            let exporter = exporter_of(path, settings)?;
            for number in numbers.clone() {
                let which = Which {
                    number,
                    many,
                    name: None,
                };
                goals.check(&file_for(path, which))?;
            }
            targets.push((path.clone(), exporter));
        }
        Ok(Self {
            targets,
            many,
            goals,
        })
    }

    /// Writes the files of one piece beside their goals.
    pub fn stage(&mut self, number: u64, piece: &dyn Piece) -> Result<(), Failure> {
        for (path, exporter) in &self.targets {
            let which = Which {
                number,
                many: self.many,
                name: None,
            };
            let goal = file_for(path, which);
            let bytes = exported(exporter.as_ref(), piece, &goal)?;
            self.goals.stage(goal, &bytes)?;
        }
        Ok(())
    }

    /// Moves all files to their goals, and says which.
    pub fn finish(self) -> Result<Vec<PathBuf>, Failure> {
        self.goals.finish()
    }
}

/// The bytes of a file that holds a piece.
pub fn exported(
    exporter: &dyn Exporter,
    piece: &dyn Piece,
    goal: &Path,
) -> Result<Vec<u8>, Failure> {
    exporter
        .bytes(piece)
        .map_err(|error| Failure::write(format!("{}: {error}", path_name(goal))))
}

/// The folder of a goal as it really is.
fn real_folder(folder: &Path, goal: &Path) -> Result<PathBuf, Failure> {
    let real = fs::canonicalize(folder).and_then(|real| {
        if real.is_dir() {
            Ok(real)
        } else {
            Err(io::ErrorKind::NotADirectory.into())
        }
    });
    real.map_err(|error| {
        Failure::write(format!(
            "{} cannot be written: the folder {} cannot be used: {error}\n  hint: make the folder first",
            path_name(goal),
            path_name(folder)
        ))
    })
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

/// The exporter for a file.
pub fn exporter_of(path: &Path, settings: &Settings) -> Result<Box<dyn Exporter>, Failure> {
    let known = || extensions().collect();
    by_extension(path, &known, |extension| exporter(extension, settings))
}

/// What is known by the extension of a file's name; `known` are all that are known, each with
/// the name of its format.
pub fn by_extension<T>(
    path: &Path,
    known: &dyn Fn() -> Vec<(&'static str, &'static str)>,
    find: impl Fn(&str) -> Option<T>,
) -> Result<T, Failure> {
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
    extension.and_then(find).ok_or_else(|| {
        let known: Vec<String> = known()
            .into_iter()
            .map(|(extension, name)| format!(".{extension} ({name})"))
            .collect();
        Failure::usage(format!(
            "{}: the format is told by the extension, and this is none that is known\n  hint: end the name with {}",
            path_name(path),
            known.join(", ")
        ))
    })
}

/// The file for a line: its number for `{line}`, and the name of the file that it was read from
/// for `{name}`; without `{line}` the number stands before the extension where there are several.
pub fn file_for(path: &Path, which: Which<'_>) -> PathBuf {
    let name = path.file_name().unwrap_or_default();
    let text = name.to_str().unwrap_or_default();
    let numbered = text.contains(NUMBER);
    let mut name = match which.name {
        Some(own) if text.contains(NAME) => text.replace(NAME, own).into(),
        _ => name.to_owned(),
    };
    if numbered {
        // Its number is told by the pattern, not by what was put into it.
        let text = text.replace(NUMBER, &which.number.to_string());
        name = text.replace(NAME, which.name.unwrap_or(NAME)).into();
    } else if which.many {
        let whole = PathBuf::from(&name);
        name = whole.file_stem().unwrap_or_default().to_owned();
        name.push(format!("-{}.", which.number));
        name.push(whole.extension().unwrap_or_default());
    }
    folder(path).join(name)
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

    fn file(path: &str, many: bool, name: Option<&str>) -> String {
        let which = Which {
            number: 7,
            many,
            name,
        };
        file_for(Path::new(path), which)
            .to_string_lossy()
            .into_owned()
    }

    #[test]
    fn a_line_number_stands_where_it_is_asked_for_or_before_the_extension() {
        let name = |path, many| file(path, many, None);
        assert_eq!(name("a/b.mid", false), "a/b.mid");
        assert_eq!(name("a/b.mid", true), "a/b-7.mid");
        assert_eq!(name("a/b.c.mid", true), "a/b.c-7.mid");
        assert_eq!(name("a/{line} b.mid", true), "a/7 b.mid");
        assert_eq!(name("{line}.mid", false), "./7.mid");
    }

    #[test]
    fn the_name_of_the_file_that_was_read_stands_where_it_is_asked_for() {
        let name = |path, many| file(path, many, Some("kim.o"));
        assert_eq!(name("a/{name}.txt", false), "a/kim.o.txt");
        assert_eq!(name("a/{name}.txt", true), "a/kim.o-7.txt");
        assert_eq!(name("{name} {line}.pdf", true), "./kim.o 7.pdf");
        assert_eq!(file("{name}.pdf", false, Some("{line}")), "./{line}.pdf");
    }
}
