//! `.json`: everything that is known of a line. Several lines are an array.

use linewright_rules::Line;

use super::{ExportError, Exporter, Format};
use crate::json;

pub(super) const FORMAT: Format = Format {
    extension: "json",
    name: "JSON",
    make: |_| Box::new(Json),
};

struct Json;

impl Exporter for Json {
    fn bytes(&self, lines: &[Line]) -> Result<Vec<u8>, ExportError> {
        if lines.is_empty() {
            return Err(ExportError::no_line());
        }
        Ok(json::text(lines).into_bytes())
    }
}
