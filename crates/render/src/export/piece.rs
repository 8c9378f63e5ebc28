//! What can be exported: a line, several lines, or what a study of one has found.

use linewright_rules::Line;
use linewright_study::Study;
use linewright_study::mark::Marked;

use crate::json;
use crate::text::{Details, Options, explained, marked, page};

/// What can be exported: something with lines in it, a page for people and JSON for programs.
pub trait Piece {
    /// The lines, in order.
    fn lines(&self) -> Vec<&Line>;

    /// The page, as plain text. Ends with a line break.
    fn page(&self, options: &Options) -> String;

    /// Everything that is known of it, as JSON. Ends with a line break.
    fn json(&self) -> String;

    /// Whether a bar of rest stands between its lines when they sound one after the other.
    fn rests_between(&self) -> bool {
        false
    }
}

impl Piece for Line {
    fn lines(&self) -> Vec<&Line> {
        vec![self]
    }

    fn page(&self, options: &Options) -> String {
        page(self, options)
    }

    fn json(&self) -> String {
        json::text(std::slice::from_ref(self))
    }
}

/// Lines one after the other: their pages with a blank line between, an array in JSON.
impl Piece for Vec<Line> {
    fn lines(&self) -> Vec<&Line> {
        self.iter().collect()
    }

    fn page(&self, options: &Options) -> String {
        let pages: Vec<String> = self.iter().map(|line| page(line, options)).collect();
        pages.join("\n")
    }

    fn json(&self) -> String {
        json::text(self)
    }
}

/// A given line with what it does.
pub struct Explained<'a> {
    /// The line, read.
    pub study: &'a Study,
    /// What its page shows.
    pub details: Details,
}

impl Piece for Explained<'_> {
    fn lines(&self) -> Vec<&Line> {
        vec![&self.study.line]
    }

    fn page(&self, options: &Options) -> String {
        explained(self.study, self.details, options)
    }

    fn json(&self) -> String {
        json::explained(self.study)
    }
}

impl Piece for Marked {
    fn lines(&self) -> Vec<&Line> {
        vec![&self.study.line]
    }

    fn page(&self, options: &Options) -> String {
        marked(self, options)
    }

    fn json(&self) -> String {
        json::marked(self)
    }
}
