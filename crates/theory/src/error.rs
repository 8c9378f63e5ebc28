//! The one error of this crate.

use std::fmt;

/// What is wrong with a piece of text, where, and what to write instead.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TheoryError {
    message: String,
    at: usize,
    hint: String,
}

impl TheoryError {
    pub(crate) fn new(at: usize, message: impl Into<String>, hint: impl Into<String>) -> Self {
        TheoryError {
            message: message.into(),
            at,
            hint: hint.into(),
        }
    }

    /// What is wrong, as one sentence without a full stop.
    pub fn message(&self) -> &str {
        &self.message
    }

    /// Byte offset in the text that was read: where the trouble starts. Always a character
    /// boundary, at most the text's length.
    pub fn at(&self) -> usize {
        self.at
    }

    /// What to write instead, as one sentence without a full stop.
    pub fn hint(&self) -> &str {
        &self.hint
    }
}

impl fmt::Display for TheoryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.hint)
    }
}

impl std::error::Error for TheoryError {}

/// A text as it is quoted in a message: cut to a sane length, control characters escaped.
pub(crate) fn quoted(text: &str) -> String {
    let mut short: String = text.chars().take(24).flat_map(char::escape_debug).collect();
    if text.chars().count() > 24 {
        short.push('…');
    }
    format!("\"{short}\"")
}
