//! Where a rule could find something at all: where the plan and the harmony allow it.

use linewright_plan::Plan;
use linewright_style::Style;
use linewright_theory::{Member, Pitch};

use crate::clarity::{AMBIGUOUS, CLEAR};
use crate::facts::{BarFacts, tension};
use crate::finding::Place;
use crate::rule::{Look, Rule};
use crate::segment::{head, likeness};
use crate::symbol::{SYMBOLS, members_by_symbol};
use crate::window::{BarWindow, EchoWindow, NoteWindow, ShapePlace, ShapeWindow, StepWindow};

/// The widest move that is tried, in semitones: beyond the widest limit that a style may set.
const WIDEST: i32 = 30;

/// The places of a plan at which a rule could find something, whatever the notes, in order.
/// A bar is taken to be clear, or as unclear as can be, as a rule on bars needs it.
pub fn possible_places(rule: &Rule, style: &Style, plan: &Plan) -> Vec<Place> {
    let slots = 0..plan.slots.len();
    match rule.look {
        Look::Note(test) => {
            let here = |at: &usize| {
                let slot = &plan.slots[*at];
                (0..=127).filter_map(Pitch::new).any(|pitch| {
                    let window = NoteWindow {
                        style,
                        bar: &plan.bars[slot.bar],
                        slot,
                        pitch,
                    };
                    test(&window) != 0
                })
            };
            slots.filter(here).map(Place::Note).collect()
        }
        Look::Step(test) => {
            let here = |at: &usize| {
                let (from, slot) = (&plan.slots[*at - 1], &plan.slots[*at]);
                (0..12).any(|class| {
                    (-WIDEST..=WIDEST).any(|interval| {
                        let window = StepWindow {
                            style,
                            bar: &plan.bars[slot.bar],
                            bar_before: slot.bar.checked_sub(1).map(|before| &plan.bars[before]),
                            from,
                            slot,
                            from_class: from.ground.root.up(class),
                            interval,
                        };
                        test(&window) != 0
                    })
                })
            };
            slots.skip(1).filter(here).map(Place::Note).collect()
        }
        Look::Shape(test) => {
            let moves = || (-WIDEST..=WIDEST).flat_map(|a| (-WIDEST..=WIDEST).map(move |b| (a, b)));
            let here = |at: &usize| {
                let place = ShapePlace::of(&plan.slots[*at - 1], &plan.slots[*at]);
                moves().any(|(first, second)| {
                    (0..4).any(|gates| {
                        let window = ShapeWindow {
                            first,
                            second,
                            middle_is_chord_tone: gates & 2 != 0,
                            last_is_chord_tone: gates & 1 != 0,
                            place,
                        };
                        test(&window) != 0
                    })
                })
            };
            slots.skip(2).filter(here).map(Place::Note).collect()
        }
        Look::Bar(test) => {
            let here = |bar: &usize| bar_can(plan, *bar, test);
            (0..plan.bars.len()).filter(here).map(Place::Bar).collect()
        }
        Look::Echo(test) => {
            let here = |bar: &usize| {
                let Some(before) = bar.checked_sub(1) else {
                    return false;
                };
                let [first, second] = [before, *bar].map(|bar| plan.bars[bar].slots.clone());
                likeness(first.len(), second.len()).is_some()
                    && test(&EchoWindow {
                        before: &plan.slots[first.start],
                        slot: &plan.slots[second.start],
                    }) != 0
            };
            (0..plan.bars.len()).filter(here).map(Place::Bar).collect()
        }
    }
}

/// Whether some cell over a bar's slots has the rule find something.
fn bar_can(plan: &Plan, bar: usize, test: fn(&BarWindow) -> i32) -> bool {
    let row = plan.bars[bar].slots.clone();
    let middle = row.start + head(row.len());
    [row.start..middle, middle..row.end]
        .into_iter()
        .any(|part| {
            let slots = &plan.slots[part];
            let cells = if slots.is_empty() {
                0
            } else {
                SYMBOLS.pow(slots.len() as u32)
            };
            (0..cells).any(|number| {
                let mut rest = number;
                let (cell, members): (Vec<u8>, Vec<Member>) = slots
                    .iter()
                    .map(|slot| {
                        let symbol = rest % SYMBOLS;
                        rest /= SYMBOLS;
                        (symbol as u8, members_by_symbol(&slot.ground)[symbol])
                    })
                    .unzip();
                [CLEAR, AMBIGUOUS - CLEAR].into_iter().any(|clarity| {
                    let facts = BarFacts {
                        clarity,
                        tension: tension(&members, clarity),
                    };
                    let window = BarWindow {
                        bar: &plan.bars[bar],
                        slots,
                        cell: &cell,
                        members: &members,
                        facts,
                    };
                    test(&window) != 0
                })
            })
        })
}
