//! `linewright explain`.

use linewright::text::Details;
use linewright::{Explained, Under};

use crate::args::Explain;
use crate::exit::Failure;
use crate::files::Outputs;
use crate::{given, pages, read};

/// Reads, explains, prints and writes.
pub fn run(arguments: &Explain) -> Result<(), Failure> {
    let (chart_file, lines) = given::inputs(&arguments.given, &arguments.inputs)?;
    let [line_file] = lines else {
        return Err(Failure::usage(
            "one line is explained at a time\n  hint: give the chart and one line, such as `linewright explain blues.chart line.txt`",
        ));
    };
    let chart = read::chart(chart_file, arguments.given.chart_part.name())?;
    let how = given::reading(&arguments.given, &chart)?;
    let lines = given::lines(line_file, arguments.given.part.as_deref())?;
    let details = Details {
        notes: !arguments.brief,
    };
    let mut settings = pages::settings(pages::options(&arguments.page, None)?, &arguments.sheet);
    if arguments.sheet.under.is_empty() {
        settings.staff_under = Some(vec![Under::Degrees, Under::Functions, Under::Cadences]);
    }
    let style = arguments.given.style.name();
    let mut sources = read::sources(Some(chart_file), style.as_deref());
    sources.push(("line", line_file));
    let numbers = 1..lines.len() as u64 + 1;
    let outputs = Outputs::check(
        &arguments.files.output,
        numbers,
        arguments.files.force,
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
