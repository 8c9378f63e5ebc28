//! What the files hold that marks are written to.

use std::path::PathBuf;

use linewright::{Class, Exporter, REPORT_EXTENSIONS, Settings, exporter, extensions, report};

use crate::exit::Failure;
use crate::files::{Goals, NAME, by_extension};
use crate::output::path_name;

/// Which lines are marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lines {
    /// Those of one file.
    OfOneFile,
    /// Those of several files.
    OfMany,
}

/// The files that marks are written to.
pub struct Targets {
    /// Those that each hold one line.
    pub pieces: Vec<(PathBuf, Box<dyn Exporter>)>,
    /// Those that hold the table of all lines.
    pub tables: Vec<PathBuf>,
}

impl Targets {
    /// What each file is for: with `{name}` in its name for one line each, `.csv` for the table;
    /// any other extension for one line each of one file, and for the table of many.
    pub fn of(outputs: &[PathBuf], lines: Lines, settings: &Settings) -> Result<Self, Failure> {
        let mut targets = Self {
            pieces: Vec::new(),
            tables: Vec::new(),
        };
        for path in outputs {
            let named = path
                .file_name()
                .is_some_and(|name| name.to_string_lossy().contains(NAME));
            if lines == Lines::OfMany && !named {
                let known = || REPORT_EXTENSIONS.to_vec();
                let is_known = |extension: &str| {
                    let same = |(known, _): &(&str, &str)| known.eq_ignore_ascii_case(extension);
                    REPORT_EXTENSIONS.iter().any(same).then_some(())
                };
                by_extension(path, &known, is_known).map_err(|failure| {
                    let extension = path.extension().and_then(|extension| extension.to_str());
                    let of_one = extension.and_then(|extension| exporter(extension, settings));
                    match of_one {
                        None => failure,
                        Some(_) => one_line_only(path),
                    }
                })?;
                targets.tables.push(path.clone());
                continue;
            }
            let known = || {
                let table = REPORT_EXTENSIONS.into_iter().take(usize::from(!named));
                extensions().chain(table).collect()
            };
            let find = |extension: &str| {
                if !named && extension.eq_ignore_ascii_case(REPORT_EXTENSIONS[0].0) {
                    return Some(None);
                }
                exporter(extension, settings).map(Some)
            };
            match by_extension(path, &known, find)? {
                Some(exporter) => targets.pieces.push((path.clone(), exporter)),
                None => targets.tables.push(path.clone()),
            }
        }
        Ok(targets)
    }

    /// Writes the tables.
    pub fn write_tables(
        &self,
        class: &Class,
        settings: &Settings,
        goals: &Goals,
    ) -> Result<(), Failure> {
        for path in &self.tables {
            let extension = path.extension().unwrap_or_default().to_string_lossy();
            if let Some(bytes) = report(&extension, class, settings) {
                goals.write(path, &bytes)?;
            }
        }
        Ok(())
    }
}

fn one_line_only(path: &std::path::Path) -> Failure {
    Failure::usage(format!(
        "{} can hold one line only, and there are several\n  hint: write {NAME} into the name, such as '{NAME}.{}', for a file each; the table of all goes to a .csv, .txt or .json file",
        path_name(path),
        path.extension().unwrap_or_default().to_string_lossy()
    ))
}
