//! Faults: what is wrong in a chart, where, and what to write instead.

use std::fmt;

use crate::source::{Source, tame};

/// At most this many faults of one text are kept; the rest are counted.
pub(crate) const MAX_SHOWN: usize = 50;

/// One thing that is wrong in a chart.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fault {
    line: usize,
    column: usize,
    excerpt: String,
    caret: String,
    message: String,
    hint: String,
}

impl Fault {
    /// The line in the text, counted from 1; 0 when the fault has no place in
    /// a text.
    pub fn line(&self) -> usize {
        self.line
    }

    /// The column in characters, counted from 1; 0 when the fault has no place
    /// in a text.
    pub fn column(&self) -> usize {
        self.column
    }

    /// The source line, or the stretch around the place when the line is long;
    /// empty when the fault has no place in a text.
    pub fn excerpt(&self) -> &str {
        &self.excerpt
    }

    /// What is wrong, in one sentence without a full stop.
    pub fn message(&self) -> &str {
        &self.message
    }

    /// What to write instead, in one sentence without a full stop.
    pub fn hint(&self) -> &str {
        &self.hint
    }
}

/// The faults of one chart, in the order of their places; never empty.
///
/// `Display` prints all of them, each with its source line, a caret under the
/// place and a hint. At most 50 are kept, and [`Faults::more`] counts the rest.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Faults {
    source_name: String,
    list: Vec<Fault>,
    more: usize,
}

impl Faults {
    /// A single fault that has no place in a text.
    pub(crate) fn placeless(source_name: &str, message: String, hint: String) -> Faults {
        Faults {
            source_name: tame(source_name),
            list: vec![Fault {
                line: 0,
                column: 0,
                excerpt: String::new(),
                caret: String::new(),
                message,
                hint,
            }],
            more: 0,
        }
    }

    /// The faults that are kept, in the order of their places.
    pub fn faults(&self) -> &[Fault] {
        &self.list
    }

    /// How many further faults there are.
    pub fn more(&self) -> usize {
        self.more
    }

    /// The name of the text, as the reader was told it.
    pub fn source_name(&self) -> &str {
        &self.source_name
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, fault) in self.list.iter().enumerate() {
            if index > 0 {
                writeln!(f)?;
            }
            if fault.line == 0 {
                writeln!(f, "{}: {}", self.source_name, fault.message)?;
            } else {
                writeln!(
                    f,
                    "{}:{}:{}: {}",
                    self.source_name, fault.line, fault.column, fault.message
                )?;
                writeln!(f, "    {}", fault.excerpt)?;
                writeln!(f, "    {}^", fault.caret)?;
            }
            write!(f, "    hint: {}", fault.hint)?;
        }
        if self.more > 0 {
            write!(f, "\nand {} more", self.more)?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}

/// Collects faults by byte offset while a text is read.
#[derive(Default)]
pub(crate) struct Collector {
    list: Vec<(usize, String, String)>,
    more: usize,
}

impl Collector {
    /// Notes a fault at this byte offset of the text.
    pub(crate) fn add(&mut self, at: usize, message: impl Into<String>, hint: impl Into<String>) {
        if self.list.len() < MAX_SHOWN {
            self.list.push((at, message.into(), hint.into()));
        } else {
            self.more += 1;
        }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The faults with their places looked up, or `None` when there are none.
    pub(crate) fn finish(mut self, source_name: &str, source: &Source<'_>) -> Option<Faults> {
        if self.list.is_empty() {
            return None;
        }
        self.list.sort_by_key(|(at, ..)| *at);
        let list = self
            .list
            .into_iter()
            .map(|(at, message, hint)| {
                let place = source.place(at);
                Fault {
                    line: place.line,
                    column: place.column,
                    excerpt: place.excerpt,
                    caret: place.caret,
                    message,
                    hint,
                }
            })
            .collect();
        Some(Faults {
            source_name: tame(source_name),
            list,
            more: self.more,
        })
    }
}
