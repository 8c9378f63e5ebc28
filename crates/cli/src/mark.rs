//! `linewright mark`.

use linewright::study::mark::{Asked, Marked};

use crate::args::Mark;
use crate::exit::Failure;
use crate::files::Outputs;
use crate::{given, output, pages, read};

/// Reads, marks, prints and writes.
pub fn run(arguments: &Mark) -> Result<(), Failure> {
    let chart = read::chart(&arguments.given.chart)?;
    let how = given::reading(&arguments.given, arguments.grade)?;
    let settings = pages::settings(pages::options(&arguments.page, None)?, &arguments.sheet);
    let asked = Asked {
        mends: true,
        fix: !arguments.no_fix,
    };
    let mut printer = pages::Printer::new(&arguments.page, settings.page.clone());
    for path in &arguments.lines {
        let lines = given::lines(path, arguments.given.part.as_deref())?;
        let sources = [
            ("chart", arguments.given.chart.as_path()),
            ("line", path.as_path()),
        ];
        let numbers = 1..lines.len() as u64 + 1;
        let mut outputs = Outputs::check(
            &arguments.output,
            numbers,
            arguments.force,
            &settings,
            &sources,
        )?;
        for (number, line) in (1..).zip(&lines) {
            let (composer, study) = given::study(&chart, line, &how)?;
            pages::check_bars(&arguments.page, &study.line.timeline)?;
            let marked = Marked::of(&composer, study, asked);
            outputs.stage(number, &marked)?;
            printer.print(&marked)?;
        }
        output::tell(&outputs.finish()?);
    }
    Ok(())
}
