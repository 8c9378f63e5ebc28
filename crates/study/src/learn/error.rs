//! Why nothing was learned.

use thiserror::Error;

/// Why nothing was learned, with what helps.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
#[non_exhaustive]
pub enum LearnError {
    /// There are no runs.
    #[error(
        "no line has three notes in a row over a chord\n  hint: a line is learned from where it fills bars with the notes of its walk"
    )]
    NothingToLearn,
    /// Every run breaks a limit that is to be kept.
    #[error(
        "every line breaks a limit of the style, and limits are kept\n  hint: soften them, or choose a style that forbids less"
    )]
    LimitsBroken,
    /// The first weights cannot be reckoned with.
    #[error(
        "the lines cannot be weighed by this style: its weights, or the range of the lines, are too wide\n  hint: begin with another style, and look for notes in a wrong octave"
    )]
    Unreckonable,
    /// It was stopped.
    #[error("stopped")]
    Stopped,
}
