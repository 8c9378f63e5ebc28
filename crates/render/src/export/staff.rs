//! `.svg`, `.pdf` and `.png`: the staff page.

use linewright_compose::{Line, VERSION};
use linewright_diagnostic::clean::one_line;
use linewright_engrave::{Options, Page, Paper, SvgFont, Theme, pages, pdf};

use super::sheet::sheet;
use super::{ExportError, Exporter, Format, Piece, Settings};
use crate::bars::bar_reading;
use crate::score::{Under, fingering_remarks};

/// Dots per inch of a picture.
const RESOLUTION: u16 = 150;

pub(super) const SVG: Format = Format {
    extension: "svg",
    name: "staff page for the screen",
    make: |settings: &Settings| Box::new(Staff::new(settings, Medium::Svg)),
};

pub(super) const PDF: Format = Format {
    extension: "pdf",
    name: "staff pages for print",
    make: |settings: &Settings| Box::new(Staff::new(settings, Medium::Pdf)),
};

pub(super) const PNG: Format = Format {
    extension: "png",
    name: "picture of the staff page",
    make: |settings: &Settings| Box::new(Staff::new(settings, Medium::Png)),
};

#[derive(Copy, Clone, PartialEq, Eq)]
enum Medium {
    Svg,
    Pdf,
    Png,
}

struct Staff {
    under: Vec<Under>,
    unrolled: bool,
    tension: bool,
    paper: Paper,
    theme: Theme,
    medium: Medium,
}

impl Staff {
    fn new(settings: &Settings, medium: Medium) -> Self {
        Self {
            under: settings
                .staff_under
                .as_ref()
                .unwrap_or(&settings.under)
                .clone(),
            unrolled: settings.unrolled,
            tension: settings.tension,
            paper: settings.paper,
            theme: settings.theme,
            medium,
        }
    }

    fn pages(&self, piece: &dyn Piece) -> Result<Vec<Page>, ExportError> {
        // The curve of tension goes over the bars as they are played.
        let stays = !self.unrolled && !self.tension;
        let score = sheet(piece, &self.under, |_| stays)?;
        let lines = piece.lines();
        let tension = match lines.as_slice() {
            [line] if self.tension => tension(line),
            _ => Vec::new(),
        };
        // A picture is one page, however long; print has sheets.
        let paper = match self.medium {
            Medium::Pdf => self.paper,
            Medium::Svg | Medium::Png => Paper::Endless,
        };
        let options = Options {
            paper,
            tension,
            theme: self.theme,
            footer: lines
                .first()
                .map(|line| footer(line, &self.under))
                .unwrap_or_default(),
            svg_font: SvgFont::Embedded,
            ..Options::default()
        };
        Ok(pages(&score, &options))
    }
}

/// The staff pages of a piece, as a `.pdf` file has them.
///
/// # Errors
/// When the piece has no line.
pub fn staff_pages(piece: &dyn Piece, settings: &Settings) -> Result<Vec<Page>, ExportError> {
    Staff::new(settings, Medium::Pdf).pages(piece)
}

impl Exporter for Staff {
    fn bytes(&self, piece: &dyn Piece) -> Result<Vec<u8>, ExportError> {
        let pages = self.pages(piece)?;
        match self.medium {
            Medium::Pdf => Ok(pdf(&pages)?),
            Medium::Svg => Ok(first(&pages)?.svg().into_bytes()),
            Medium::Png => Ok(first(&pages)?.png(RESOLUTION)?),
        }
    }
}

fn first(pages: &[Page]) -> Result<&Page, ExportError> {
    pages.first().ok_or_else(ExportError::no_line)
}

/// The tension of every bar, 0 to 1; a silent bar has none.
pub(super) fn tension(line: &Line) -> Vec<f64> {
    let of = |bar: usize| bar_reading(line, bar).map_or(0, |reading| reading.tension);
    (0..line.timeline.bars.len())
        .map(|bar| f64::from(of(bar)) / 1000.0)
        .collect()
}

/// How the line is fingered where it is, style and seed.
pub(super) fn footer(line: &Line, under: &[Under]) -> Vec<String> {
    let mut footer = fingering_remarks(line, under);
    footer.push(format!("style {}", one_line(&line.style.name)));
    if line.origin.choice.is_some() {
        footer.push(format!("seed {}", line.origin.seed));
        footer.push(format!("line {}", line.origin.number()));
    }
    footer.push(format!("linewright {VERSION}"));
    footer
}
