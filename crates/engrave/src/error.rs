//! What can go wrong.

/// Why a page could not be written as PDF or PNG.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct EngraveError {
    message: String,
}

impl EngraveError {
    pub(crate) fn new(message: impl Into<String>) -> EngraveError {
        EngraveError {
            message: message.into(),
        }
    }
}
