//! Many files: a table with a row for each line.

use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::path::PathBuf;

use linewright::study::mark::Asked;
use linewright::{Assessed, Class, Entry, Exporter, Report};

use super::Marking;
use super::targets::{Lines, Targets};
use crate::exit::Failure;
use crate::files::{Goals, NAME, Which, exported, file_for};
use crate::line_files::{Found, files};
use crate::output::path_name;
use crate::parallel::{in_order, processors};
use crate::{output, progress};

/// The row of a line, and the files that are for it alone.
struct Row {
    entry: Entry,
    files: Vec<(PathBuf, Vec<u8>)>,
}

/// Marks all lines, prints and writes.
pub fn run(marking: &Marking, lines: &[PathBuf]) -> Result<(), Failure> {
    let arguments = marking.arguments;
    let found = files(lines, &arguments.files.output);
    if let Some(failure) = nothing_there(&found) {
        return Err(failure);
    }
    let targets = || Targets::of(&arguments.files.output, Lines::OfMany, &marking.settings);
    let own = targets()?;
    let reports = !own.pieces.is_empty();
    let names = names(&found, reports);
    let goals = check(marking, &own, &found, &names)?;
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
        |pieces, nth| rows(marking, &found[nth], &names[nth], pieces, asked),
        &mut |rows: Result<Vec<Row>, Failure>| {
            for row in rows? {
                for (goal, bytes) in &row.files {
                    goals.write(goal, bytes)?;
                }
                class.entries.push(row.entry);
            }
            bar.inc(1);
            Ok(())
        },
    )?;
    bar.finish_and_clear();
    let mut options = marking.settings.page.clone();
    options.colour = output::is_coloured(arguments.page.look.colours.colour);
    match output::bytes(class.page(&options).as_bytes()) {
        // Files are still to be written when nobody reads the page.
        Err(failure) if !failure.is_quiet() => return Err(failure),
        _ => {}
    }
    own.write_tables(&class, &marking.settings, &goals)?;
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

/// Checks every file that is to be written.
fn check(
    marking: &Marking,
    targets: &Targets,
    found: &[Found],
    names: &[String],
) -> Result<Goals, Failure> {
    let mut sources = marking.sources.clone();
    sources.extend(
        found
            .iter()
            .filter_map(|found| Some(("line", found.file()?))),
    );
    let mut goals = Goals::new(marking.arguments.files.force, &sources);
    targets
        .tables
        .iter()
        .try_for_each(|path| goals.check(path))?;
    if targets.pieces.is_empty() {
        return Ok(goals);
    }
    for (found, name) in found.iter().zip(names) {
        // How many lines a file holds is known by reading it; one that cannot be read has none.
        let lines = found.file().map(|path| marking.lines(path));
        let count = lines.map_or(0, |lines| lines.map_or(0, |(lines, _)| lines.len()));
        for number in 1..=count {
            for (path, _) in &targets.pieces {
                goals.check(&file_for(path, which(number, count > 1, name)))?;
            }
        }
    }
    Ok(goals)
}

/// What stands for each file in the names of its pages: its own name, and where several have one
/// name, its extension after it, and a number where that is the same too; `told` says whether
/// such names are told.
fn names(found: &[Found], told: bool) -> Vec<String> {
    let text = |part: Option<&OsStr>| part.unwrap_or_default().to_string_lossy().into_owned();
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for path in found.iter().filter_map(Found::file) {
        *times.entry(text(path.file_stem())).or_default() += 1;
    }
    let is_alone = |stem: &String| times[stem] == 1;
    let alone = times.keys().filter(|stem| is_alone(stem));
    let mut taken: BTreeSet<String> = alone.cloned().collect();
    let name = |found: &Found| {
        let Some(path) = found.file() else {
            return String::new();
        };
        let stem = text(path.file_stem());
        if is_alone(&stem) {
            return stem;
        }
        let longer = format!("{stem}-{}", text(path.extension()));
        let mut name = longer.clone();
        let mut number = 1;
        while !taken.insert(name.clone()) {
            number += 1;
            name = format!("{longer}-{number}");
        }
        if told {
            output::note(&format!(
                "several files are called {stem}: {NAME} is {name} for {}",
                path_name(path)
            ));
        }
        name
    };
    found.iter().map(name).collect()
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
    name: &str,
    pieces: &[(PathBuf, Box<dyn Exporter>)],
    asked: Asked,
) -> Result<Vec<Row>, Failure> {
    let path = found.path();
    let read = match found {
        Found::File(path) => marking.lines(path),
        Found::Trouble(_, why) => Err(why.clone()),
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
            }]);
        }
    };
    let many = lines.len() > 1;
    let row = |(number, line)| {
        let line: &linewright::Given = line;
        let marked = marking.mark(line, asked);
        let mut files = Vec::new();
        let outcome = match marked {
            Ok(marked) => {
                files = exported(pieces, which(number, many, name), &marked)?;
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
        })
    };
    (1..).zip(&lines).map(row).collect()
}
