//! What hangs on one note of a line.

use crate::plan::Plan;
use crate::style::Style;
use linewright_theory::Pitch;

use super::{Hearing, Listener};
use crate::finding::{Finding, Place};
use crate::rule::{Look, Rule};
use crate::symbol::SYMBOLS;

/// What some rules find around one note of a line, whatever note that is: at the places that
/// hang on it (see [`hangs_on`]).
pub struct Around<'a> {
    hearing: &'a Hearing,
    style: &'a Style,
    plan: &'a Plan,
    pitches: Vec<Pitch>,
    slot: usize,
    /// What is found of the bar's cell, by the symbol of the note, as far as it is known.
    cells: [Option<Vec<Finding>>; SYMBOLS],
    found: Vec<Finding>,
}

impl<'a> Around<'a> {
    /// Listens around the note of a slot.
    ///
    /// # Panics
    /// If there are not as many pitches as slots, or no such slot.
    pub fn new(
        hearing: &'a Hearing,
        style: &'a Style,
        plan: &'a Plan,
        pitches: &[Pitch],
        slot: usize,
    ) -> Self {
        assert_eq!(pitches.len(), plan.slots.len(), "one pitch for each slot");
        assert!(slot < pitches.len(), "there is such a slot");
        Around {
            hearing,
            style,
            plan,
            pitches: pitches.to_vec(),
            slot,
            cells: Default::default(),
            found: Vec::new(),
        }
    }

    /// What is found with this note in the slot, in no particular order.
    pub fn hear(&mut self, pitch: Pitch) -> &[Finding] {
        self.pitches[self.slot] = pitch;
        let (slot, found) = (self.slot, &mut self.found);
        let listener = Listener::new(self.hearing, self.style, self.plan, &self.pitches);
        found.clear();
        let until = |more: usize| slot..(slot + more).min(self.pitches.len());
        listener.note(slot, found);
        until(2).for_each(|at| listener.move_into(at, found));
        until(3).for_each(|at| listener.shape(at, found));
        let bar = self.plan.slots[slot].bar;
        let of_cell = self.cells[usize::from(listener.symbol(slot))].get_or_insert_with(|| {
            let mut found = Vec::new();
            listener.cell(bar, &mut found, None);
            found
        });
        found.extend_from_slice(of_cell);
        listener.echo(bar, found);
        listener.echo(bar + 1, found);
        found
    }
}

/// Whether what a rule finds at a place can hang on the note of a slot.
pub fn hangs_on(plan: &Plan, look: &Look, place: Place, slot: usize) -> bool {
    let own = plan.slots[slot].bar;
    let reach = match look {
        Look::Note(_) | Look::Order(_) | Look::Cell(_) | Look::Bar(_) => 1,
        Look::Interval(_) | Look::Step(_) | Look::Echo(_) => 2,
        Look::Shape(_) => 3,
    };
    match place {
        Place::Note(at) => (slot..slot + reach).contains(&at),
        Place::Bar(bar) => (own..own + reach).contains(&bar),
    }
}

/// How much more a rule can find in a line when one note of it changes, at the most, in full
/// findings.
pub fn most_by_one_note(rule: &Rule) -> i64 {
    // At the places that hang on a note. A long bar is looked at in two parts, but a note is in
    // one of them.
    let places = match rule.look {
        Look::Note(_) | Look::Order(_) | Look::Cell(_) | Look::Bar(_) => 1,
        Look::Interval(_) | Look::Step(_) | Look::Echo(_) => 2,
        Look::Shape(_) => 3,
    };
    // What grows with a distance or a speed may be many times full.
    let times = match rule.name {
        "register-contour" | "outside-the-heart" | "fast-leap" => 128,
        _ => 1,
    };
    places * times
}
