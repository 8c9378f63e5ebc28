//! Why lines cannot be written in a format.

use std::fmt;

use linewright_engrave::EngraveError;

use crate::midi;

/// Why lines cannot be written in a format.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExportError(Kind);

#[derive(Clone, Debug, PartialEq, Eq)]
enum Kind {
    NoLine,
    Midi(midi::Error),
    Staff(EngraveError),
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

impl fmt::Display for ExportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Kind::NoLine => f.write_str("there is no line to write; give at least one"),
            Kind::Midi(error) => write!(f, "this cannot be written as a MIDI file: {error}"),
            Kind::Staff(error) => write!(f, "this cannot be put on a staff page: {error}"),
        }
    }
}

impl std::error::Error for ExportError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match &self.0 {
            Kind::NoLine => None,
            Kind::Midi(error) => Some(error),
            Kind::Staff(error) => Some(error),
        }
    }
}
