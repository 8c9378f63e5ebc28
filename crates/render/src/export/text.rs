//! `.txt`: the page, never coloured. Several lines are one page after the other.

use linewright_rules::Line;

use super::{ExportError, Exporter, Format, Settings};
use crate::text::{Options, page};

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
    fn bytes(&self, lines: &[Line]) -> Result<Vec<u8>, ExportError> {
        if lines.is_empty() {
            return Err(ExportError::no_line());
        }
        let pages: Vec<String> = lines.iter().map(|line| page(line, &self.options)).collect();
        Ok(pages.join("\n").into_bytes())
    }
}
