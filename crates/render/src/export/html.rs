//! `.html`: the practice page.

use linewright_engrave::{Options, Paper};

use super::sheet::sheet;
use super::staff::{footer, tension};
use super::{ExportError, Exporter, Format, Piece, Settings};
use crate::html::{Content, page};
use crate::score::Under;

pub(super) const FORMAT: Format = Format {
    extension: "html",
    name: "practice page for the browser",
    make: |settings: &Settings| {
        Box::new(Html {
            under: settings.under.clone(),
            tension: settings.tension,
            paper: settings.paper,
        })
    },
};

struct Html {
    under: Vec<Under>,
    tension: bool,
    /// What it is printed on.
    paper: Paper,
}

impl Exporter for Html {
    fn bytes(&self, piece: &dyn Piece) -> Result<Vec<u8>, ExportError> {
        let score = sheet(piece, &self.under, |_| false)?;
        let lines = piece.lines();
        let tension = match lines.as_slice() {
            [line] if self.tension => tension(line),
            _ => Vec::new(),
        };
        let footer = lines.first().map(|line| footer(line, &self.under));
        let content = Content {
            lines: &lines,
            rests_between: piece.rests_between(),
            score: &score,
            under: &self.under,
            options: &Options {
                paper: self.paper,
                tension,
                footer: footer.unwrap_or_default(),
                ..Options::default()
            },
        };
        Ok(page(&content).into_bytes())
    }
}
