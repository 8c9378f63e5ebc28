//! `.mid`: a Standard MIDI File. Several lines sound one after the other.

use linewright_notation::midi;

use super::{ExportError, Exporter, Format, Piece};
use crate::playback;

pub(super) const FORMAT: Format = Format {
    extension: "mid",
    name: "Standard MIDI File",
    make: |_| Box::new(Midi),
};

struct Midi;

impl Exporter for Midi {
    fn bytes(&self, piece: &dyn Piece) -> Result<Vec<u8>, ExportError> {
        let lines = piece.lines();
        if lines.is_empty() {
            return Err(ExportError::no_line());
        }
        Ok(midi::write(&playback::part(&lines, piece.rests_between()))?)
    }
}
