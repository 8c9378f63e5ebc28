//! Rules that listen to a line: what each of them finds, everywhere or around one note.

mod around;
mod listener;

use crate::plan::Plan;
use crate::style::{Style, Weight};
use linewright_theory::Pitch;

use crate::book::{Entry, RuleBook};
use crate::by_look::ByLook;
use crate::finding::Finding;
use crate::rule::RuleId;

pub use around::{Around, hangs_on, most_by_one_note};
pub(crate) use listener::{Heard, Listener};

/// Rules of a rulebook, ready to listen.
pub struct Hearing {
    tests: ByLook<Ear>,
}

/// Whose test it is, and what a finding of it is worth.
struct Ear {
    rule: RuleId,
    weight: Weight,
}

impl Hearing {
    /// All rules of a rulebook.
    pub fn of(book: &RuleBook) -> Self {
        Self::of_some(book, |_| true)
    }

    /// Some rules of a rulebook.
    pub fn of_some(book: &RuleBook, keep: impl Fn(RuleId) -> bool) -> Self {
        let kept = book.entries().iter().filter(|entry| keep(entry.id));
        let ear = |entry: &Entry| {
            let (rule, weight) = (entry.id, entry.weight);
            (entry.rule.look, Ear { rule, weight })
        };
        let tests = kept.map(ear).collect();
        Self { tests }
    }

    /// What they find in a line, in no particular order: one pitch for each slot.
    ///
    /// # Panics
    /// If there are not as many pitches as slots.
    pub fn findings(&self, style: &Style, plan: &Plan, pitches: &[Pitch]) -> Vec<Finding> {
        let mut found = Vec::new();
        Listener::new(self, style, plan, pitches).everywhere(&mut found, None);
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
        let listener = Listener::new(self, style, plan, pitches);
        let [first, last] = bars.map(|bar| plan.bars[bar].slots.clone());
        for at in first.start..(last.end + 1).min(pitches.len()) {
            listener.note(at, &mut found);
            listener.move_into(at, &mut found);
            listener.shape(at, &mut found);
        }
        for bar in bars {
            listener.cell(bar, &mut found, None);
            listener.echo(bar, &mut found);
        }
        found
    }
}
