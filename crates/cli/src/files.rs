//! Files for lines: all checked before anything is written, each written whole or not at
//! all, none overwritten unless asked. Where a run ends early, those that are done stay.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use linewright::{Exporter, Piece, Settings, exporter, extensions};

use crate::exit::Failure;
use crate::output::path_name;
use crate::pages::Printer;
use crate::read::STANDARD_INPUT;
use crate::stop;
use crate::whole::{Target, clear, folder};

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

/// Files that are to be written: all are checked first, then each goes to its place as soon as it
/// is whole.
pub struct Goals {
    force: bool,
    /// The files that are read, each with what it is called.
    sources: Vec<(&'static str, PathBuf)>,
    /// The folders that files can be written to, as they really are.
    folders: BTreeSet<PathBuf>,
    /// The files, as they really are.
    seen: BTreeSet<PathBuf>,
}

impl Goals {
    /// No files yet; `sources` are those that are read, each with what it is called.
    pub fn new(force: bool, sources: &[(&'static str, &Path)]) -> Self {
        let real =
            |(what, path): &(&'static str, &Path)| Some((*what, fs::canonicalize(path).ok()?));
        Self {
            force,
            sources: sources.iter().filter_map(real).collect(),
            folders: BTreeSet::new(),
            seen: BTreeSet::new(),
        }
    }

    /// Checks that a file can be written, and is asked for once only.
    pub fn check(&mut self, goal: &Path) -> Result<(), Failure> {
        stop::expect_file();
        let target = self.target(goal)?;
        let folder = folder(&target.path);
        let is_new = self.folders.insert(folder.clone());
        if is_new {
            clear(&folder);
        }
        // Whether files can be made in a folder is known by making one.
        if is_new || target.old.is_some() {
            target.check(goal)?;
        }
        if !self.seen.insert(target.path) {
            return Err(Failure::usage(format!(
                "{} would be written twice\n  hint: give every --output its own name",
                path_name(goal)
            )));
        }
        Ok(())
    }

    /// Writes a file that was checked, whole or not at all.
    pub fn write(&self, goal: &Path, bytes: &[u8]) -> Result<(), Failure> {
        self.target(goal)?.write(goal, bytes, self.force)
    }

    /// Where a file goes, if it may.
    fn target(&self, goal: &Path) -> Result<Target, Failure> {
        let target = Target::of(goal)?;
        let Some(old) = &target.old else {
            return Ok(target);
        };
        let name = path_name(goal);
        if old.is_dir() {
            return Err(Failure::write(format!(
                "{name} is a folder\n  hint: give the name of a file"
            )));
        }
        if let Some((what, _)) = self.sources.iter().find(|(_, path)| *path == target.path) {
            return Err(Failure::write(format!(
                "{name} is the {what} itself\n  hint: write to another file"
            )));
        }
        if !self.force {
            return Err(Failure::write(format!(
                "{name} exists already\n  hint: give another name, or --force to overwrite it"
            )));
        }
        Ok(target)
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

    /// Prints a piece and writes its files, once all of them are made.
    pub fn hand_over(
        &self,
        number: u64,
        piece: &dyn Piece,
        printer: &mut Printer,
    ) -> Result<(), Failure> {
        let which = Which {
            number,
            many: self.many,
            name: None,
        };
        let files = exported(&self.targets, which, piece)?;
        printer.print(piece)?;
        let mut files = files.iter();
        files.try_for_each(|(goal, bytes)| self.goals.write(goal, bytes))
    }
}

/// The files of a piece with their bytes.
pub fn exported(
    targets: &[(PathBuf, Box<dyn Exporter>)],
    which: Which<'_>,
    piece: &dyn Piece,
) -> Result<Vec<(PathBuf, Vec<u8>)>, Failure> {
    let file = |(path, exporter): &(PathBuf, Box<dyn Exporter>)| {
        let goal = file_for(path, which);
        match exporter.bytes(piece) {
            Ok(bytes) => Ok((goal, bytes)),
            Err(error) => Err(Failure::write(format!("{}: {error}", path_name(&goal)))),
        }
    };
    targets.iter().map(file).collect()
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
