//! What is told of many lines together, and the formats that it can be written in.

use linewright_study::learn::Learned;
use linewright_study::mark::Class;
use linewright_study::profile::{Compared, Profiled};

use super::Settings;
use crate::text::{self, Options};
use crate::{csv, json};

/// What is told of many lines together: a page for people, JSON for programs, and a table.
pub trait Report {
    /// The page. Ends with a line break.
    fn page(&self, options: &Options) -> String;

    /// Everything that is known of it, as JSON. Ends with a line break.
    fn json(&self) -> String;

    /// The table, as comma-separated values after RFC 4180.
    fn csv(&self) -> String;
}

/// The extensions of reports, each with the name of its format.
pub const REPORT_EXTENSIONS: [(&str, &str); 3] = [
    ("csv", "comma-separated values"),
    ("txt", "plain text"),
    ("json", "JSON"),
];

/// The bytes of a file that holds a report, by the file's extension (without its dot, in any
/// case); `None` for an extension that is not known.
pub fn report(extension: &str, report: &dyn Report, settings: &Settings) -> Option<Vec<u8>> {
    let text = match extension.to_ascii_lowercase().as_str() {
        "csv" => report.csv(),
        "json" => report.json(),
        "txt" => report.page(&Options {
            colour: false,
            ..settings.page.clone()
        }),
        _ => return None,
    };
    Some(text.into_bytes())
}

impl Report for Class {
    fn page(&self, options: &Options) -> String {
        text::class(self, options)
    }

    fn json(&self) -> String {
        json::class(self)
    }

    fn csv(&self) -> String {
        csv::class(self)
    }
}

impl Report for Profiled {
    fn page(&self, options: &Options) -> String {
        text::profiled(self, options)
    }

    fn json(&self) -> String {
        json::profiled(self)
    }

    fn csv(&self) -> String {
        csv::profiled(&self.profile)
    }
}

impl Report for Learned {
    fn page(&self, options: &Options) -> String {
        text::learned(self, options)
    }

    fn json(&self) -> String {
        json::learned(self)
    }

    fn csv(&self) -> String {
        csv::learned(self)
    }
}

impl Report for Compared {
    fn page(&self, options: &Options) -> String {
        text::compared(self, options)
    }

    fn json(&self) -> String {
        json::compared(self)
    }

    fn csv(&self) -> String {
        csv::compared(&self.comparison)
    }
}
