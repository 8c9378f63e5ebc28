//! What hangs on one note of a line.

use crate::plan::Plan;
use crate::style::Style;
use linewright_theory::Pitch;

use super::{Evaluation, Evaluator};
use crate::finding::{Finding, Place};
use crate::rule::{FULL, Look, Rule};
use crate::symbol::SYMBOLS;

/// What some rules find around one note of a line, whatever note that is: at the places that
/// hang on it (see [`hangs_on`]).
pub struct Around<'a> {
    evaluator: &'a Evaluator,
    style: &'a Style,
    plan: &'a Plan,
    pitches: Vec<Pitch>,
    slot: usize,
    /// What is found of the bar's cell, by the symbol of the note, as far as it is known.
    cells: [Option<Vec<Finding>>; SYMBOLS],
    found: Vec<Finding>,
}

impl<'a> Around<'a> {
    /// Looks around the note of a slot.
    ///
    /// # Panics
    /// If there are not as many pitches as slots, or no such slot.
    pub fn new(
        evaluator: &'a Evaluator,
        style: &'a Style,
        plan: &'a Plan,
        pitches: &[Pitch],
        slot: usize,
    ) -> Self {
        assert_eq!(pitches.len(), plan.slots.len(), "one pitch for each slot");
        assert!(slot < pitches.len(), "there is such a slot");
        Around {
            evaluator,
            style,
            plan,
            pitches: pitches.to_vec(),
            slot,
            cells: Default::default(),
            found: Vec::new(),
        }
    }

    /// What is found with this note in the slot, in no particular order.
    pub fn findings_with(&mut self, pitch: Pitch) -> &[Finding] {
        self.pitches[self.slot] = pitch;
        let (slot, found) = (self.slot, &mut self.found);
        let evaluation = Evaluation::new(self.evaluator, self.style, self.plan, &self.pitches);
        found.clear();
        let until = |more: usize| slot..(slot + more).min(self.pitches.len());
        evaluation.note(slot, found);
        until(2).for_each(|at| evaluation.move_into(at, found));
        until(3).for_each(|at| evaluation.shape(at, found));
        let bar = self.plan.slots[slot].bar;
        let of_cell = self.cells[usize::from(evaluation.symbol(slot))].get_or_insert_with(|| {
            let mut found = Vec::new();
            evaluation.cell(bar, &mut found, None);
            found
        });
        found.extend_from_slice(of_cell);
        evaluation.echo(bar, found);
        evaluation.echo(bar + 1, found);
        found
    }
}

/// At how many places from a note or its bar on, in order, a finding can hang on that note.
fn reach(look: &Look) -> usize {
    match look {
        Look::Note(_) | Look::Order(_) | Look::Cell(_) | Look::Bar(_) => 1,
        Look::Interval(_) | Look::Step(_) | Look::Echo(_) => 2,
        Look::Shape(_) => 3,
    }
}

/// Whether what a rule finds at a place can hang on the note of a slot.
pub fn hangs_on(plan: &Plan, look: &Look, place: Place, slot: usize) -> bool {
    let (own, reach) = (plan.slots[slot].bar, reach(look));
    match place {
        Place::Note(at) => (slot..slot + reach).contains(&at),
        Place::Bar(bar) => (own..own + reach).contains(&bar),
    }
}

/// How much more a rule can find in a line when one note of it changes, at the most, in full
/// findings; and at how many places more it can find nothing, if that is more.
pub fn most_by_one_note(rule: &Rule) -> i64 {
    // A long bar is looked at in two parts, but a note is in one of them.
    reach(&rule.look) as i64 * i64::from((rule.most / FULL).max(1))
}
