//! One interface for every format that a line can be written in: one file a format.

mod abc;
mod error;
mod html;
mod json;
mod midi;
mod musicxml;
mod piece;
mod report;
mod sheet;
mod staff;
mod text;

pub use error::ExportError;
pub use piece::{Explained, Piece};
pub use report::{REPORT_EXTENSIONS, Report, report};
pub use staff::staff_pages;

pub use linewright_engrave::{Paper, Theme};

use crate::score::Under;
use crate::text::Options;

/// A format that pieces can be written in.
pub trait Exporter {
    /// The bytes of a file that holds a piece.
    ///
    /// # Errors
    /// When it has no line, or when the format cannot hold its lines.
    fn bytes(&self, piece: &dyn Piece) -> Result<Vec<u8>, ExportError>;
}

/// What exporters are told.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Settings {
    /// What a page of text shows.
    pub page: Options,
    /// What stands under the notes in files of notation and on staff pages.
    pub under: Vec<Under>,
    /// What stands under the notes on staff pages instead, if it is something else.
    pub staff_under: Option<Vec<Under>>,
    /// Whether files of notation and staff pages have every bar as it is played, also where the
    /// line allows to keep the repeats and jumps of its chart.
    pub unrolled: bool,
    /// Whether staff pages have a curve of tension under the systems.
    pub tension: bool,
    /// The paper of staff pages for print, and that practice pages are printed on.
    pub paper: Paper,
    /// The colours of staff pages.
    pub theme: Theme,
}

/// A format as it is found: its extension, and what to call it.
struct Format {
    extension: &'static str,
    name: &'static str,
    make: fn(&Settings) -> Box<dyn Exporter>,
}

/// Every format, in the order it is listed in.
const FORMATS: &[Format] = &[
    midi::FORMAT,
    text::FORMAT,
    json::FORMAT,
    musicxml::PLAIN,
    musicxml::COMPRESSED,
    abc::FORMAT,
    staff::SVG,
    staff::PDF,
    staff::PNG,
    html::FORMAT,
];

/// The extensions that are known, each with the name of its format.
pub fn extensions() -> impl Iterator<Item = (&'static str, &'static str)> {
    FORMATS.iter().map(|format| (format.extension, format.name))
}

/// The exporter for a file's extension (without its dot, in any case), if there is one.
///
/// ```
/// use linewright_render::{Settings, exporter};
/// assert!(exporter("mid", &Settings::default()).is_some());
/// assert!(exporter("doc", &Settings::default()).is_none());
/// ```
pub fn exporter(extension: &str, settings: &Settings) -> Option<Box<dyn Exporter>> {
    let format = FORMATS
        .iter()
        .find(|format| format.extension.eq_ignore_ascii_case(extension))?;
    Some((format.make)(settings))
}
