//! Where something stands.

use std::fmt;

/// Where something stands in what was read, as exactly as it is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Place {
    /// Nowhere in particular: it is about the whole.
    #[default]
    Whole,
    /// In a line of a text, from 1.
    Line(usize),
    /// At a line and a column of a text.
    Column {
        /// The line, from 1.
        line: usize,
        /// The column in characters, from 1.
        column: usize,
    },
    /// In a measure, from 1, counted as written.
    Measure(usize),
    /// At a byte of a text, from 0: a place that is still to be looked up
    /// ([`Diagnostics::located`](crate::Diagnostics::located)), or one in a text so short that
    /// the message quotes it. It is not printed.
    Byte(usize),
}

impl Place {
    /// A line and a column, both from 1.
    pub fn column(line: usize, column: usize) -> Place {
        Place::Column { line, column }
    }

    /// The line and the column, where both are known.
    pub fn line_and_column(self) -> Option<(usize, usize)> {
        match self {
            Place::Column { line, column } => Some((line, column)),
            _ => None,
        }
    }

    /// The byte; 0 for any other kind of place.
    pub fn byte(self) -> usize {
        match self {
            Place::Byte(at) => at,
            _ => 0,
        }
    }

    /// The place in words, before a sentence: `line 3, column 4: `.
    pub(crate) fn in_words(self) -> String {
        match self {
            Place::Whole | Place::Byte(_) => String::new(),
            Place::Line(line) => format!("line {line}: "),
            Place::Column { line, column } => format!("line {line}, column {column}: "),
            Place::Measure(measure) => format!("measure {measure}: "),
        }
    }
}

/// A byte offset.
impl From<usize> for Place {
    fn from(at: usize) -> Place {
        Place::Byte(at)
    }
}

/// `3:4`, `measure 5`, or nothing.
impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::Whole | Place::Byte(_) => Ok(()),
            Place::Line(line) => write!(f, "{line}"),
            Place::Column { line, column } => write!(f, "{line}:{column}"),
            Place::Measure(measure) => write!(f, "measure {measure}"),
        }
    }
}
