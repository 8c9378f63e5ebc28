//! `linewright mark`: one file with its page, or many in a table.

mod class;
mod one;
mod targets;

use std::path::Path;

use linewright::study::mark::{Asked, Marked};
use linewright::{Chart, Given, Reading, Settings};

use crate::args::Mark;
use crate::exit::Failure;
use crate::{given, pages, read};

/// Reads, marks, prints and writes.
pub fn run(arguments: &Mark) -> Result<(), Failure> {
    let (chart_file, lines) = given::inputs(&arguments.given, &arguments.inputs)?;
    let chart = read::chart(chart_file, arguments.given.chart_part.name())?;
    let style = arguments.given.style.name();
    let marking = Marking {
        arguments,
        how: given::reading(&arguments.given, &chart)?,
        sources: read::sources(Some(chart_file), style.as_deref()),
        chart,
        settings: pages::settings(pages::options(&arguments.page, None)?, &arguments.sheet),
    };
    match lines {
        [one] if !one.is_dir() => one::run(&marking, one),
        _ => class::run(&marking, lines),
    }
}

/// How lines are marked.
struct Marking<'a> {
    arguments: &'a Mark,
    /// The files that are read besides the lines, and so never written.
    sources: Vec<(&'static str, &'a Path)>,
    chart: Chart,
    how: Reading,
    settings: Settings,
}

impl Marking<'_> {
    /// The lines of a file with what was read otherwise than written, or why it has none.
    fn lines(&self, path: &Path) -> Result<(Vec<Given>, Vec<String>), String> {
        given::lines_in_short(path, self.arguments.given.part.as_deref())
    }

    /// Marks a line.
    fn mark(&self, line: &Given, asked: Asked) -> Result<Marked, Failure> {
        let (tune, study) = given::study(&self.chart, line, &self.how)?;
        pages::check_bars(&self.arguments.page, &study.line.timeline)?;
        if study.line.reading.notes.is_empty() {
            return Err(Failure::line(
                "no note of the line sounds over a chord of the chart, so there is nothing to mark\n  hint: check that the line and the chart belong together",
            ));
        }
        Ok(Marked::of(tune.composer(), study, asked))
    }
}
