//! Rules that listen to a line: what each of them finds, everywhere or around one note.

mod around;
mod listener;

use linewright_plan::Plan;
use linewright_style::{Style, Weight};
use linewright_theory::Pitch;

use crate::book::RuleBook;
use crate::finding::Finding;
use crate::rule::{BarTest, CellTest, EchoTest, Look, NoteTest, RuleId, ShapeTest, StepTest};

pub use around::{Around, hangs_on, most_by_one_note};
pub(crate) use listener::{Heard, Listener};

/// One rule's test, with what a finding of it is worth.
struct Ear<Test> {
    rule: RuleId,
    weight: Weight,
    test: Test,
}

/// Rules of a rulebook, by the windows that they look through.
#[derive(Default)]
pub struct Hearing {
    note: Vec<Ear<NoteTest>>,
    step: Vec<Ear<StepTest>>,
    shape: Vec<Ear<ShapeTest>>,
    cell: Vec<Ear<CellTest>>,
    bar: Vec<Ear<BarTest>>,
    echo: Vec<Ear<EchoTest>>,
}

impl Hearing {
    /// All rules of a rulebook.
    pub fn of(book: &RuleBook) -> Self {
        Self::of_some(book, |_| true)
    }

    /// Some rules of a rulebook.
    pub fn of_some(book: &RuleBook, keep: impl Fn(RuleId) -> bool) -> Self {
        fn ear<Test>(ears: &mut Vec<Ear<Test>>, rule: RuleId, weight: Weight, test: Test) {
            ears.push(Ear { rule, weight, test });
        }
        let mut hearing = Self::default();
        for entry in book.entries().iter().filter(|entry| keep(entry.id)) {
            let (rule, weight) = (entry.id, entry.weight);
            match entry.rule.look {
                Look::Note(test) => ear(&mut hearing.note, rule, weight, test),
                Look::Step(test) => ear(&mut hearing.step, rule, weight, test),
                Look::Shape(test) => ear(&mut hearing.shape, rule, weight, test),
                Look::Cell(test) => ear(&mut hearing.cell, rule, weight, test),
                Look::Bar(test) => ear(&mut hearing.bar, rule, weight, test),
                Look::Echo(test) => ear(&mut hearing.echo, rule, weight, test),
            }
        }
        hearing
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
}
