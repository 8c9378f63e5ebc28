//! `linewright explain`.

use linewright::text::Details;
use linewright::{Explained, Under};

use crate::args::Explain;
use crate::exit::Failure;
use crate::files::Outputs;
use crate::{given, pages, read};

/// Reads, explains, prints and writes.
pub fn run(arguments: &Explain) -> Result<(), Failure> {
    let chart = read::chart(&arguments.given.chart, arguments.given.chart_part.name())?;
    let how = given::reading(&arguments.given, &chart, None)?;
    let lines = given::lines(&arguments.line, arguments.given.part.as_deref())?;
    let details = Details {
        notes: !arguments.brief,
    };
    let mut settings = pages::settings(pages::options(&arguments.page, None)?, &arguments.sheet);
    if arguments.sheet.under.is_empty() {
        settings.staff_under = Some(vec![Under::Degrees, Under::Functions, Under::Cadences]);
    }
    let given = &arguments.given;
    let mut sources = read::sources(Some(&given.chart), given.style.as_deref());
    sources.push(("line", arguments.line.as_path()));
    let numbers = 1..lines.len() as u64 + 1;
    let outputs = Outputs::check(
        &arguments.output,
        numbers,
        arguments.force,
        &settings,
        &sources,
    )?;
    let mut printer = pages::Printer::new(&arguments.page, settings.page.clone());
    for (number, line) in (1..).zip(&lines) {
        let (_, study) = given::study(&chart, line, &how)?;
        pages::check_bars(&arguments.page, &study.line.timeline)?;
        let explained = Explained {
            study: &study,
            details,
        };
        outputs.hand_over(number, &explained, &mut printer)?;
    }
    Ok(())
}
