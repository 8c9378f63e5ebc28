//! `.txt`: the page, never coloured. Several lines are one page after the other.

use super::{ExportError, Exporter, Format, Piece, Settings};
use crate::text::Options;

pub(super) const FORMAT: Format = Format {
    extension: "txt",
    name: "plain text",
    make: |settings: &Settings| {
        let options = Options {
            colour: false,
            ..settings.page.clone()
        };
        Box::new(Text { options })
    },
};

struct Text {
    options: Options,
}

impl Exporter for Text {
    fn bytes(&self, piece: &dyn Piece) -> Result<Vec<u8>, ExportError> {
        if piece.lines().is_empty() {
            return Err(ExportError::no_line());
        }
        Ok(piece.page(&self.options).into_bytes())
    }
}
