//! `.musicxml` and `.mxl`: MusicXML 4.0, plain and compressed.

use linewright_notation::Measure;
use linewright_notation::musicxml::{Options, is_played, write, write_mxl};

use super::sheet::sheet;
use super::{ExportError, Exporter, Format, Piece, Settings};
use crate::score::Under;

pub(super) const PLAIN: Format = Format {
    extension: "musicxml",
    name: "MusicXML 4.0",
    make: |settings: &Settings| Box::new(MusicXml::new(settings, false)),
};

pub(super) const COMPRESSED: Format = Format {
    extension: "mxl",
    name: "compressed MusicXML",
    make: |settings: &Settings| Box::new(MusicXml::new(settings, true)),
};

struct MusicXml {
    under: Vec<Under>,
    unrolled: bool,
    compressed: bool,
}

impl MusicXml {
    fn new(settings: &Settings, compressed: bool) -> Self {
        Self {
            under: settings.under.clone(),
            unrolled: settings.unrolled,
            compressed,
        }
    }
}

impl Exporter for MusicXml {
    fn bytes(&self, piece: &dyn Piece) -> Result<Vec<u8>, ExportError> {
        let stays = |page: &[Measure]| !self.unrolled && is_played(page);
        let score = sheet(piece, &self.under, stays)?;
        let options = Options {
            under: !self.under.is_empty(),
        };
        Ok(if self.compressed {
            write_mxl(&score, &options)
        } else {
            write(&score, &options).into_bytes()
        })
    }
}
