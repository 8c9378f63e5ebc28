//! The rule evaluator: what rules find in a line, everywhere or around one note.

mod around;
mod evaluation;

use crate::plan::Plan;
use crate::style::{Style, Weight};
use linewright_theory::Pitch;

use crate::book::{Entry, RuleBook};
use crate::by_look::ByLook;
use crate::finding::Finding;
use crate::rule::RuleId;

pub use around::{Around, hangs_on, most_by_one_note};
pub(crate) use evaluation::{BarComputed, Evaluation};

/// Rules of a rulebook, by the window that they look through.
pub struct Evaluator {
    tests: ByLook<Weighed>,
}

/// Whose test it is, and what a finding of it is worth.
struct Weighed {
    rule: RuleId,
    weight: Weight,
}

impl Evaluator {
    /// All rules of a rulebook.
    pub fn of(book: &RuleBook) -> Self {
        Self::of_some(book, |_| true)
    }

    /// Some rules of a rulebook.
    pub fn of_some(book: &RuleBook, keep: impl Fn(RuleId) -> bool) -> Self {
        let kept = book.entries().iter().filter(|entry| keep(entry.id));
        let weighed = |entry: &Entry| {
            let (rule, weight) = (entry.id, entry.weight);
            (entry.rule.look, Weighed { rule, weight })
        };
        let tests = kept.map(weighed).collect();
        Self { tests }
    }

    /// What they find in a line, in no particular order: one pitch for each slot.
    ///
    /// # Panics
    /// If there are not as many pitches as slots.
    pub fn findings(&self, style: &Style, plan: &Plan, pitches: &[Pitch]) -> Vec<Finding> {
        let mut found = Vec::new();
        Evaluation::new(self, style, plan, pitches).everywhere(&mut found, None);
        found
    }

    /// What they find in two neighbouring bars and at the note that follows them, in no
    /// particular order: one pitch for each slot, of which those behind that note do not matter.
    ///
    /// # Panics
    /// If there are not as many pitches as slots, or no such bars.
    pub fn findings_in(
        &self,
        style: &Style,
        plan: &Plan,
        pitches: &[Pitch],
        bars: [usize; 2],
    ) -> Vec<Finding> {
        let mut found = Vec::new();
        let evaluation = Evaluation::new(self, style, plan, pitches);
        let [first, last] = bars.map(|bar| plan.bars[bar].slots.clone());
        for at in first.start..(last.end + 1).min(pitches.len()) {
            evaluation.note(at, &mut found);
            evaluation.move_into(at, &mut found);
            evaluation.shape(at, &mut found);
        }
        for bar in bars {
            evaluation.cell(bar, &mut found, None);
            evaluation.echo(bar, &mut found);
        }
        found
    }
}
