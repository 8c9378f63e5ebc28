//! One thing to say of what was read.

use std::fmt;

use crate::clean;
use crate::place::Place;
use crate::source::Excerpt;

/// Longer messages and hints are cut, in characters.
const LONGEST: usize = 500;

/// How much something matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Severity {
    /// It cannot be read so.
    Error,
    /// It was read otherwise than written, or may be meant otherwise.
    Remark,
}

/// One thing to say of what was read: where, what is wrong, and what to write instead.
///
/// What was read may be quoted in it as it stands: characters that could disturb a terminal are
/// replaced, line breaks too, and what is very long is cut.
///
/// `Display` prints name and place, message, the source line where there is one, and the hint on
/// a line of its own; [`Diagnostic::in_short`] is one sentence.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct Diagnostic(Box<Parts>);

/// Boxed: this is the error of functions whose answer is a few bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Parts {
    severity: Severity,
    source: String,
    place: Place,
    message: String,
    hint: String,
    excerpt: Option<Excerpt>,
}

impl Diagnostic {
    /// An error. Message and hint are sentences without a full stop; the hint may be empty.
    pub fn error(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::new(Severity::Error, message.into(), hint.into())
    }

    /// A remark, with sentences as of an error.
    pub fn remark(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::new(Severity::Remark, message.into(), hint.into())
    }

    fn new(severity: Severity, message: String, hint: String) -> Self {
        Self(Box::new(Parts {
            severity,
            source: String::new(),
            place: Place::Whole,
            message: told(message),
            hint: told(hint),
            excerpt: None,
        }))
    }

    /// The same at a place.
    #[must_use]
    pub fn at(mut self, place: impl Into<Place>) -> Self {
        self.0.place = place.into();
        self
    }

    /// The same with another hint.
    #[must_use]
    pub fn hinting(mut self, hint: impl Into<String>) -> Self {
        self.0.hint = told(hint.into());
        self
    }

    /// The same in a file or text of this name.
    #[must_use]
    pub fn within(mut self, source: &str) -> Self {
        self.0.source = told(source.to_owned());
        self
    }

    /// The same with the line of the text that it stands in.
    pub(crate) fn showing(mut self, excerpt: Excerpt) -> Self {
        self.0.excerpt = Some(excerpt);
        self
    }

    /// How much it matters.
    pub fn severity(&self) -> Severity {
        self.0.severity
    }

    /// Where it is.
    pub fn place(&self) -> Place {
        self.0.place
    }

    /// What is wrong, in one sentence without a full stop.
    pub fn message(&self) -> &str {
        &self.0.message
    }

    /// What to write instead, in one sentence without a full stop; may be empty.
    pub fn hint(&self) -> &str {
        &self.0.hint
    }

    /// All in one sentence: where, what, and what to write instead. The source's name is left
    /// out.
    pub fn in_short(&self) -> String {
        let Parts {
            place,
            message,
            hint,
            ..
        } = &*self.0;
        let between = if hint.is_empty() { "" } else { "; " };
        format!("{}{message}{between}{hint}", place.in_words())
    }

    /// All over several lines, those after the first set in.
    pub(crate) fn print(&self, f: &mut fmt::Formatter<'_>, indent: &str) -> fmt::Result {
        let parts = &*self.0;
        let place = parts.place.to_string();
        for part in [&parts.source, &place] {
            f.write_str(part)?;
            if !part.is_empty() {
                f.write_str(":")?;
            }
        }
        let blank = !parts.source.is_empty() || !place.is_empty();
        write!(f, "{}{}", if blank { " " } else { "" }, parts.message)?;
        if let Some(Excerpt { line, caret }) = &parts.excerpt {
            write!(f, "\n{indent}{line}\n{indent}{caret}^")?;
        }
        if !parts.hint.is_empty() {
            write!(f, "\n{indent}hint: {}", parts.hint)?;
        }
        Ok(())
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.print(f, "  ")
    }
}

fn told(text: String) -> String {
    clean::tame(&clean::shortened(&text, LONGEST))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_prints_where_it_is_as_far_as_that_is_known() {
        let plain = Diagnostic::error("no note", "write one");
        let printed = |found: Diagnostic| found.to_string();
        assert_eq!(printed(plain.clone()), "no note\n  hint: write one");
        let at = plain.clone().at(Place::column(3, 4));
        assert_eq!(printed(at.clone()), "3:4: no note\n  hint: write one");
        assert_eq!(
            printed(at.within("a.txt")),
            "a.txt:3:4: no note\n  hint: write one"
        );
        assert_eq!(
            printed(plain.clone().at(Place::Measure(5)).hinting("")),
            "measure 5: no note"
        );
        assert_eq!(
            printed(plain.within("a").at(7)),
            "a: no note\n  hint: write one"
        );
    }

    #[test]
    fn in_short_it_is_one_sentence() {
        let plain = Diagnostic::remark("no note", "write one").within("a.txt");
        assert_eq!(plain.in_short(), "no note; write one");
        assert_eq!(
            plain.clone().at(Place::column(3, 4)).in_short(),
            "line 3, column 4: no note; write one"
        );
        assert_eq!(
            plain.at(Place::Line(3)).hinting("").in_short(),
            "line 3: no note"
        );
    }

    #[test]
    fn what_it_quotes_cannot_disturb_a_terminal_nor_fill_it() {
        let found =
            Diagnostic::error("b\nc\u{202e}", "d\u{7}".repeat(1 << 20)).within("a\u{1b}[31m");
        let told = found.to_string();
        assert!(
            told.starts_with("a\u{FFFD}[31m: b\u{FFFD}c\u{FFFD}\n  hint: d\u{FFFD}"),
            "{told}"
        );
        assert!(told.chars().count() < LONGEST + 50, "{}", told.len());
    }
}
