//! What can be exported: a line, several lines, or what a study of one has found.

use linewright_compose::Line;
use linewright_study::Study;
use linewright_study::mark::Marked;
use linewright_study::orders::Orders;
use linewright_study::vary::Varied;

use crate::json;
use crate::text::{Details, Options, explained, marked, ordered, page, varied};
use crate::wording::study::{answer_name, degrees_of};

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

    /// What its lines are called where several stand one after the other, in their order.
    fn names(&self) -> Vec<String> {
        (1..=self.lines().len())
            .map(|number| format!("line {number}"))
            .collect()
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

/// A passage and other ways through it: they sound one after the other, with a bar of rest
/// between.
impl Piece for Varied {
    fn lines(&self) -> Vec<&Line> {
        self.heard.iter().collect()
    }

    fn page(&self, options: &Options) -> String {
        varied(self, options)
    }

    fn json(&self) -> String {
        json::varied(self)
    }

    fn rests_between(&self) -> bool {
        true
    }

    /// The line, and then each answer by its strategy, numbered as on the page.
    fn names(&self) -> Vec<String> {
        let answers = (1..).zip(&self.variations);
        std::iter::once("the line".to_owned())
            .chain(answers.map(|(number, answer)| format!("{number}. {}", answer_name(answer))))
            .collect()
    }
}

/// The orders of a cell.
impl Piece for Orders {
    fn lines(&self) -> Vec<&Line> {
        self.ranked.iter().map(|order| &order.line).collect()
    }

    fn page(&self, options: &Options) -> String {
        ordered(self, options)
    }

    fn json(&self) -> String {
        json::ordered(self)
    }

    fn rests_between(&self) -> bool {
        true
    }

    /// Each order by its degrees, with its rank.
    fn names(&self) -> Vec<String> {
        let orders = (1..).zip(&self.ranked);
        orders
            .map(|(rank, order)| format!("{rank}. {}", degrees_of(order)))
            .collect()
    }
}
