//! Why lines cannot be written in a format.

use linewright_engrave::EngraveError;
use linewright_notation::midi;

/// Why lines cannot be written in a format.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(transparent)]
pub struct ExportError(Kind);

#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
enum Kind {
    #[error("there is no line to write; give at least one")]
    NoLine,
    #[error("this cannot be written as a MIDI file: {0}")]
    Midi(#[source] midi::Error),
    #[error("this cannot be put on a staff page: {0}")]
    Staff(#[source] EngraveError),
}

impl ExportError {
    pub(super) fn no_line() -> Self {
        Self(Kind::NoLine)
    }
}

impl From<midi::Error> for ExportError {
    fn from(error: midi::Error) -> Self {
        Self(Kind::Midi(error))
    }
}

impl From<EngraveError> for ExportError {
    fn from(error: EngraveError) -> Self {
        Self(Kind::Staff(error))
    }
}
