//! A study with its marks, and with what would mend them.

use linewright_rulebook::StyleBook;

use super::fix::nearest;
use super::mend::Changes;
use super::{Fault, Mark, Mend, Scheme, mark};
use crate::study::Study;

/// What to look for besides the marks.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    /// For every fault, the one change that mends it.
    pub mends: bool,
    /// For a line that does not pass, the fewest changes that make it pass, if so many are enough.
    pub fix: Option<usize>,
}

/// A line with its marks.
#[derive(Clone, Debug)]
pub struct Marked {
    /// The line.
    pub study: Study,
    /// Its marks.
    pub mark: Mark,
    /// For each fault, in the order of the mark's, the one change that mends it.
    pub mends: Vec<Option<Mend>>,
    /// The nearest line that passes, where it was asked for and the line does not pass.
    pub fix: Option<Fix>,
}

/// The nearest line that passes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fix {
    /// It differs in these notes, and none with fewer changes passes.
    Changes(Vec<Mend>),
    /// It differs in these notes; whether fewer would do was not searched to the end.
    AtMost(Vec<Mend>),
    /// It differs in more notes than this; it was not looked for further.
    MoreThan(usize),
    /// None that changes notes only: too many bars have none.
    MoreNotes,
    /// The search ended before any was found.
    NotFound,
}

impl Marked {
    /// Marks a study in the style of the book.
    pub fn of(style_book: &StyleBook, study: Study, asked: Asked) -> Self {
        let line = &study.line;
        let scheme = Scheme::of(
            style_book.book(),
            style_book.style(),
            &line.timeline,
            &line.plan,
            study.silent.len(),
        );
        let mark = mark(line, &scheme);
        let faults: Vec<Fault> = mark.faults().copied().collect();
        let mut changes = Changes::new(line, &scheme);
        let mends = if asked.mends {
            faults.iter().map(|fault| changes.mend(fault)).collect()
        } else {
            Vec::new()
        };
        let look = asked.fix.filter(|_| !mark.passes());
        Self {
            fix: look.map(|most| nearest(line, &scheme, &mark, &mut changes, most)),
            mark,
            mends,
            study,
        }
    }

    /// The one change that mends a fault, where there is one and it was asked for.
    pub fn mend_of(&self, fault: &Fault) -> Option<Mend> {
        let at = self.mark.faults().position(|other| other == fault)?;
        self.mends.get(at).copied().flatten()
    }
}
