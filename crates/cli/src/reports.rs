//! What is told of many lines: a page on the terminal, and files of it.

use std::path::{Path, PathBuf};

use linewright::text::Options;
use linewright::{REPORT_EXTENSIONS, Report, Settings, report};

use crate::args::Look;
use crate::exit::Failure;
use crate::files::{Goals, by_extension};
use crate::output;

/// An extension that files can have, and what they hold then.
pub type Format = (&'static str, &'static str);

/// Checks the files that are to be written: reports, or what one format more holds.
pub fn goals(
    files: &[PathBuf],
    force: bool,
    sources: &[(&'static str, &Path)],
    more: Option<Format>,
) -> Result<Goals, Failure> {
    let formats = || more.into_iter().chain(REPORT_EXTENSIONS);
    let mut goals = Goals::new(force, sources);
    for path in files {
        by_extension(path, &|| formats().collect(), |extension| {
            formats().find(|(known, _)| known.eq_ignore_ascii_case(extension))
        })?;
        goals.check(path)?;
    }
    Ok(goals)
}

/// Prints the page of a report, then writes the files; `other` gives what stands in files that
/// hold no report.
pub fn publish(
    told: &dyn Report,
    look: &Look,
    files: &[PathBuf],
    goals: &Goals,
    other: impl Fn() -> Vec<u8>,
) -> Result<(), Failure> {
    let settings = Settings {
        page: Options {
            width: look.width.into(),
            colour: output::is_coloured(look.colours.colour),
            ..Options::default()
        },
        ..Settings::default()
    };
    match output::bytes(told.page(&settings.page).as_bytes()) {
        // Files are still to be written when nobody reads the page.
        Err(failure) if !failure.is_quiet() => return Err(failure),
        _ => {}
    }
    for path in files {
        let extension = path.extension().unwrap_or_default().to_string_lossy();
        let bytes = report(&extension, told, &settings).unwrap_or_else(&other);
        goals.write(path, &bytes)?;
    }
    Ok(())
}
