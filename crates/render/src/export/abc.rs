//! `.abc`: ABC 2.1, a tune for each line.

use linewright_notation::Measure;
use linewright_notation::abc::{Options, is_played, write_with};

use super::sheet::part;
use super::{ExportError, Exporter, Format, Piece, Settings};
use crate::score::Under;

pub(super) const FORMAT: Format = Format {
    extension: "abc",
    name: "ABC 2.1",
    make: |settings: &Settings| {
        Box::new(Abc {
            under: settings.under.clone(),
            unrolled: settings.unrolled,
        })
    },
};

struct Abc {
    under: Vec<Under>,
    unrolled: bool,
}

impl Exporter for Abc {
    fn bytes(&self, piece: &dyn Piece) -> Result<Vec<u8>, ExportError> {
        let lines = piece.lines();
        if lines.is_empty() {
            return Err(ExportError::no_line());
        }
        let stays = |page: &[Measure]| !self.unrolled && is_played(page);
        let scores: Vec<_> = lines
            .iter()
            .map(|line| part(line, &self.under, stays))
            .collect();
        let options = Options {
            under: !self.under.is_empty(),
        };
        Ok(write_with(&scores, options).into_bytes())
    }
}
