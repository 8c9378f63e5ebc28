//! `.mid`: a Standard MIDI File. Several lines sound one after the other.

use linewright_rules::Line;

use super::{ExportError, Exporter, Format};
use crate::{midi, playback};

pub(super) const FORMAT: Format = Format {
    extension: "mid",
    name: "Standard MIDI File",
    make: |_| Box::new(Midi),
};

struct Midi;

impl Exporter for Midi {
    fn bytes(&self, lines: &[Line]) -> Result<Vec<u8>, ExportError> {
        if lines.is_empty() {
            return Err(ExportError::no_line());
        }
        Ok(midi::write(&playback::part(lines))?)
    }
}
