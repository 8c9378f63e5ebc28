//! Many files: a table with a row for each line.

use std::path::{Path, PathBuf};

use linewright::study::mark::Asked;
use linewright::{Assessed, Class, Entry, Exporter, Report};

use super::Marking;
use super::targets::{Lines, Targets};
use crate::exit::Failure;
use crate::files::{Goals, Which, exported, file_for};
use crate::line_files::{Found, files};
use crate::output::path_name;
use crate::parallel::{in_order, processors};
use crate::{given, output, progress};

/// The row of a line, and the files that are for it alone.
struct Row {
    entry: Entry,
    files: Vec<(PathBuf, Vec<u8>)>,
    /// Whether its files were not checked yet, because it was not known that there are several
    /// lines in the file.
    unchecked: bool,
}

/// Marks all lines, prints and writes.
pub fn run(marking: &Marking) -> Result<(), Failure> {
    let arguments = marking.arguments;
    let found = files(&arguments.lines, &arguments.output);
    if let Some(failure) = nothing_there(&found) {
        return Err(failure);
    }
    let targets = || Targets::of(&arguments.output, Lines::OfMany, &marking.settings);
    let own = targets()?;
    let mut goals = check(marking, &own, &found)?;
    let reports = !own.pieces.is_empty();
    let asked = Asked {
        mends: reports,
        fix: arguments.fix().filter(|_| reports),
    };
    let bar = progress::bar(found.len(), "marking");
    let mut class = Class::default();
    in_order(
        found.len(),
        processors(),
        // They were made once already.
        || targets().map_or(Vec::new(), |targets| targets.pieces),
        |pieces, nth| rows(marking, &found[nth], pieces, asked),
        &mut |rows: Result<Vec<Row>, Failure>| {
            for row in rows? {
                for (goal, bytes) in row.files {
                    if row.unchecked {
                        goals.check(&goal)?;
                    }
                    goals.stage(goal, &bytes)?;
                }
                class.entries.push(row.entry);
            }
            bar.inc(1);
            Ok(())
        },
    )?;
    bar.finish_and_clear();
    own.write_tables(&class, &marking.settings, &mut goals)?;
    let mut options = marking.settings.page.clone();
    options.colour = output::is_coloured(arguments.page.colour);
    match output::bytes(class.page(&options).as_bytes()) {
        // Files are still to be written when nobody reads the page.
        Err(failure) if !failure.is_quiet() => return Err(failure),
        _ => {}
    }
    output::tell(&goals.finish()?);
    let unread = class.entries.len() - class.marked().count();
    if unread > 0 {
        return Err(Failure::line(format!(
            "{unread} of {} could not be marked\n  hint: what is wrong stands in their rows",
            class.entries.len()
        )));
    }
    Ok(())
}

/// What to say where no file is there at all.
fn nothing_there(found: &[Found]) -> Option<Failure> {
    let mut troubles = Vec::new();
    for found in found {
        match found {
            Found::File(_) => return None,
            Found::Trouble(folder, why) => troubles.push(format!("{}: {why}", path_name(folder))),
        }
    }
    Some(Failure::line(format!(
        "{}\n  hint: give files of lines, or folders that hold some",
        troubles.join("\n")
    )))
}

/// Checks every file that is known to be written.
fn check(marking: &Marking, targets: &Targets, found: &[Found]) -> Result<Goals, Failure> {
    let mut sources = marking.sources();
    let files = || {
        found.iter().filter_map(|found| match found {
            Found::File(path) => Some(path.as_path()),
            Found::Trouble(..) => None,
        })
    };
    sources.extend(files().map(|path| ("line", path)));
    let mut goals = Goals::new(marking.arguments.force, &sources);
    targets
        .tables
        .iter()
        .try_for_each(|path| goals.check(path))?;
    for file in files() {
        let name = stem(file);
        for (path, _) in &targets.pieces {
            goals.check(&file_for(path, which(1, false, &name)))?;
        }
    }
    Ok(goals)
}

fn stem(path: &Path) -> String {
    path.file_stem()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}

fn which(number: usize, many: bool, name: &str) -> Which<'_> {
    Which {
        number: number as u64,
        many,
        name: Some(name),
    }
}

/// The rows of a file: what is wrong with it stands in its row; only what cannot be written ends
/// the run.
fn rows(
    marking: &Marking,
    found: &Found,
    pieces: &[(PathBuf, Box<dyn Exporter>)],
    asked: Asked,
) -> Result<Vec<Row>, Failure> {
    let (path, read) = match found {
        Found::File(path) => {
            let part = marking.arguments.given.part.as_deref();
            (path, given::lines_in_short(path, part))
        }
        Found::Trouble(folder, why) => (folder, Err(why.clone())),
    };
    let entry = Entry {
        file: path_name(path),
        line: None,
        student: None,
        title: None,
        outcome: Err(String::new()),
    };
    let (lines, otherwise) = match read {
        Ok(read) => read,
        Err(why) => {
            let outcome = Err(why);
            return Ok(vec![Row {
                entry: Entry { outcome, ..entry },
                files: Vec::new(),
                unchecked: false,
            }]);
        }
    };
    let (name, many) = (stem(path), lines.len() > 1);
    let row = |(number, line)| {
        let line: &linewright::Given = line;
        let marked = marking.mark(line, asked);
        let mut files = Vec::new();
        let outcome = match marked {
            Ok(marked) => {
                for (path, exporter) in pieces {
                    let goal = file_for(path, which(number, many, &name));
                    let bytes = exported(exporter.as_ref(), &marked, &goal)?;
                    files.push((goal, bytes));
                }
                let mut assessed = Assessed::of(&marked);
                assessed.remarks.splice(0..0, otherwise.iter().cloned());
                Ok(assessed)
            }
            Err(failure) => Err(failure.in_short().to_owned()),
        };
        Ok(Row {
            entry: Entry {
                file: path_name(path),
                line: many.then_some(number),
                student: line.student().map(str::to_owned),
                title: line.score.title.clone(),
                outcome,
            },
            files,
            unchecked: many,
        })
    };
    (1..).zip(&lines).map(row).collect()
}
