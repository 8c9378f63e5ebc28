//! One file: a page for each line in it.

use std::path::Path;

use linewright::study::mark::Asked;
use linewright::{Assessed, Class, Entry};

use super::Marking;
use super::targets::{Lines, Targets};
use crate::exit::Failure;
use crate::files::{Goals, Which, exported, file_for};
use crate::output::path_name;
use crate::{given, pages};

/// Marks the lines of a file, prints and writes.
pub fn run(marking: &Marking, path: &Path) -> Result<(), Failure> {
    let arguments = marking.arguments;
    let lines = given::lines(path, arguments.given.part.as_deref())?;
    let targets = Targets::of(&arguments.files.output, Lines::OfOneFile, &marking.settings)?;
    let mut sources = marking.sources.clone();
    sources.push(("line", path));
    let mut goals = Goals::new(arguments.files.force, &sources);
    let name = path.file_stem().map(|name| name.to_string_lossy());
    let which = |number: usize| Which {
        number: number as u64,
        many: lines.len() > 1,
        name: name.as_deref(),
    };
    for (path, _) in &targets.pieces {
        for number in 1..=lines.len() {
            goals.check(&file_for(path, which(number)))?;
        }
    }
    targets
        .tables
        .iter()
        .try_for_each(|path| goals.check(path))?;
    let asked = Asked {
        mends: true,
        fix: arguments.fix(),
    };
    let mut printer = pages::Printer::new(&arguments.page, marking.settings.page.clone());
    let mut class = Class::default();
    for (number, line) in (1..).zip(&lines) {
        let marked = marking.mark(line, asked)?;
        let files = exported(&targets.pieces, which(number), &marked)?;
        printer.print(&marked)?;
        files
            .iter()
            .try_for_each(|(goal, bytes)| goals.write(goal, bytes))?;
        let many = lines.len() > 1;
        class.entries.push(Entry {
            file: path_name(path),
            line: many.then_some(number),
            student: line.student().map(str::to_owned),
            title: line.score.title.clone(),
            outcome: Ok(Assessed::of(&marked)),
        });
    }
    targets.write_tables(&class, &marking.settings, &goals)
}
