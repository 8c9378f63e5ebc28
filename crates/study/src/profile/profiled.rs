//! Profiles with the lines that they are of.

use super::{Comparison, Profile};

/// Which lines were counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Counted {
    /// Those of files, by the files' names.
    Files(Vec<String>),
    /// Lines that were composed: the first of each seed.
    Composed {
        /// The style.
        style: String,
        /// The first seed.
        first: u64,
        /// The last seed.
        last: u64,
    },
}

/// A profile of some lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Profiled {
    /// Which lines.
    pub of: Counted,
    /// The title of the chart; `None` where the lines brought their own chords.
    pub over: Option<String>,
    /// What was counted.
    pub profile: Profile,
}

/// The profiles of two sets of lines, compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Which lines the one set has.
    pub here: Counted,
    /// Which lines the other set has.
    pub there: Counted,
    /// The title of the chart; `None` where the lines brought their own chords.
    pub over: Option<String>,
    /// What was counted, and where it differs.
    pub comparison: Comparison,
}
