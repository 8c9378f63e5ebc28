//! `.json`: everything that is known of a line. Several lines are an array.

use super::{ExportError, Exporter, Format, Piece};

pub(super) const FORMAT: Format = Format {
    extension: "json",
    name: "JSON",
    make: |_| Box::new(Json),
};

struct Json;

impl Exporter for Json {
    fn bytes(&self, piece: &dyn Piece) -> Result<Vec<u8>, ExportError> {
        if piece.lines().is_empty() {
            return Err(ExportError::no_line());
        }
        Ok(piece.json().into_bytes())
    }
}
