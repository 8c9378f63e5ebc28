//! What is wrong with a file, where, and what to do about it.

use std::fmt;

/// Most problems of one file that are kept; the rest are counted.
const MOST: usize = 50;

/// Where in a file something stands. All parts that are known are told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// The line of a text, from 1.
    pub line: Option<usize>,
    /// The column in characters, from 1.
    pub column: Option<usize>,
    /// The measure, from 1, counted as written.
    pub measure: Option<usize>,
}

/// One thing that is wrong with a file, or that was read otherwise than written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Where.
    pub place: Place,
    /// What is wrong, in one sentence without a full stop.
    pub message: String,
    /// What to write instead, in one sentence without a full stop.
    pub hint: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.place {
            Place {
                line: Some(line),
                column: Some(column),
                ..
            } => write!(f, "{line}:{column}: ")?,
            Place {
                line: Some(line), ..
            } => write!(f, "{line}: ")?,
            Place {
                measure: Some(measure),
                ..
            } => write!(f, "measure {measure}: ")?,
            _ => {}
        }
        write!(f, "{}\n    hint: {}", self.message, self.hint)
    }
}

/// Problems in the order in which they were met. A reader that can go on gives them beside
/// its score; one that cannot gives them as its error.
#[derive(Clone, Debug, Default, PartialEq, Eq, thiserror::Error)]
pub struct Problems {
    list: Vec<Problem>,
    more: usize,
}

impl Problems {
    /// A single problem.
    pub fn one(place: Place, message: impl Into<String>, hint: impl Into<String>) -> Self {
        let mut problems = Self::default();
        problems.add(place, message, hint);
        problems
    }

    /// Notes a problem; beyond fifty they are only counted.
    pub fn add(&mut self, place: Place, message: impl Into<String>, hint: impl Into<String>) {
        if self.list.len() == MOST {
            self.more += 1;
            return;
        }
        self.list.push(Problem {
            place,
            message: message.into(),
            hint: hint.into(),
        });
    }

    /// Adds all of some others.
    pub fn extend(&mut self, others: Problems) {
        let room = MOST - self.list.len();
        self.more += others.more + others.list.len().saturating_sub(room);
        self.list.extend(others.list.into_iter().take(room));
    }

    /// The problems that are kept.
    pub fn list(&self) -> &[Problem] {
        &self.list
    }

    /// How many more there are.
    pub fn more(&self) -> usize {
        self.more
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, problem) in self.list.iter().enumerate() {
            if at > 0 {
                writeln!(f)?;
            }
            write!(f, "{problem}")?;
        }
        if self.more > 0 {
            write!(f, "\nand {} more", self.more)?;
        }
        Ok(())
    }
}
