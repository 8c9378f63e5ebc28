//! All that is to be said of what was read.

use std::fmt;

use crate::diagnostic::{Diagnostic, Severity};
use crate::place::Place;
use crate::source::Source;

/// Most errors, and most remarks, of one file that are kept; the rest are counted.
const MOST: usize = 50;

/// What is to be said of a file, in the order in which it was met, or in the order of places
/// where they were looked up.
///
/// A reader that cannot go on gives it as its error; one that can gives it beside what it read,
/// and then there are only remarks in it. At most 50 errors and 50 remarks are kept;
/// [`Diagnostics::more`] counts the rest. `Display` prints all of them, set in by four blanks.
#[derive(Clone, Debug, Default, PartialEq, Eq, thiserror::Error)]
pub struct Diagnostics {
    list: Vec<Diagnostic>,
    errors: Count,
    remarks: Count,
}

/// How many there are of one severity, and how many of them are not kept.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Count {
    kept: usize,
    more: usize,
}

impl Diagnostics {
    /// A single error.
    pub fn one(place: Place, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Diagnostic::error(message, hint).at(place).into()
    }

    /// Notes an error.
    pub fn error(
        &mut self,
        place: impl Into<Place>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.add(Diagnostic::error(message, hint).at(place));
    }

    /// Notes a remark.
    pub fn remark(
        &mut self,
        place: impl Into<Place>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.add(Diagnostic::remark(message, hint).at(place));
    }

    /// Notes something; beyond fifty of its severity they are only counted.
    pub fn add(&mut self, found: Diagnostic) {
        let count = self.count(found.severity());
        if count.kept == MOST {
            count.more += 1;
        } else {
            count.kept += 1;
            self.list.push(found);
        }
    }

    /// Adds all of some others.
    pub fn extend(&mut self, others: Diagnostics) {
        self.errors.more += others.errors.more;
        self.remarks.more += others.remarks.more;
        others.list.into_iter().for_each(|found| self.add(found));
    }

    fn count(&mut self, severity: Severity) -> &mut Count {
        match severity {
            Severity::Error => &mut self.errors,
            Severity::Remark => &mut self.remarks,
        }
    }

    /// Those that are kept.
    pub fn list(&self) -> &[Diagnostic] {
        &self.list
    }

    /// How many more there are.
    pub fn more(&self) -> usize {
        self.errors.more + self.remarks.more
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Whether an error is among them.
    pub fn has_errors(&self) -> bool {
        self.errors.kept > 0
    }

    /// What was read, with the remarks on it; or the errors alone, where there are any.
    ///
    /// # Errors
    /// All errors, without the remarks.
    pub fn judge<T>(mut self, read: T) -> Result<(T, Diagnostics), Diagnostics> {
        if !self.has_errors() {
            return Ok((read, self));
        }
        self.list
            .retain(|found| found.severity() == Severity::Error);
        self.remarks = Count::default();
        Err(self)
    }

    /// The same with bytes looked up in the text that they were counted in: each gets its line
    /// and column, the text's name, and the line itself to be shown. They are put in the order
    /// of their bytes.
    #[must_use]
    pub fn located(mut self, name: &str, source: &Source<'_>) -> Diagnostics {
        self.list.sort_by_key(|found| found.place().byte());
        let located = |found: Diagnostic| {
            let found = found.within(name);
            let Place::Byte(at) = found.place() else {
                return found;
            };
            let (place, excerpt) = source.look_up(at);
            found.at(place).showing(excerpt)
        };
        self.list = self.list.into_iter().map(located).collect();
        self
    }
}

impl From<Diagnostic> for Diagnostics {
    fn from(found: Diagnostic) -> Diagnostics {
        let mut all = Diagnostics::default();
        all.add(found);
        all
    }
}

impl fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, found) in self.list.iter().enumerate() {
            if at > 0 {
                writeln!(f)?;
            }
            found.print(f, "    ")?;
        }
        if self.more() > 0 {
            write!(f, "\nand {} more", self.more())?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beyond_fifty_of_a_severity_they_are_counted() {
        let mut all = Diagnostics::default();
        for at in 0..60 {
            all.error(at, "wrong", "right");
        }
        all.remark(0, "odd", "even");
        assert_eq!((all.list().len(), all.more()), (51, 10));
        let mut twice = all.clone();
        twice.extend(all.clone());
        assert_eq!((twice.list().len(), twice.more()), (52, 70));
        assert!(all.to_string().ends_with("\nand 10 more"), "{all}");
    }

    #[test]
    fn errors_refuse_what_was_read_and_remarks_go_with_it() {
        let mut all = Diagnostics::default();
        all.remark(Place::Whole, "odd", "even");
        let (read, remarks) = all.clone().judge("score").unwrap();
        assert_eq!((read, remarks.list().len()), ("score", 1));
        all.error(Place::Line(2), "wrong", "right");
        let errors = all.judge("score").unwrap_err();
        assert_eq!(errors.to_string(), "2: wrong\n    hint: right");
    }

    #[test]
    fn located_they_stand_in_the_order_of_the_text_with_their_lines() {
        let mut all = Diagnostics::default();
        all.error(6, "second", "b");
        all.error(0, "first", "a");
        assert_eq!(
            all.located("t", &Source::new("| F7 | H7")).to_string(),
            "t:1:1: first\n    | F7 | H7\n    ^\n    hint: a\n\
             t:1:7: second\n    | F7 | H7\n          ^\n    hint: b"
        );
    }
}
