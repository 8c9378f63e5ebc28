//! Where a rule could find something at all: where the plan and the harmony allow it.

use linewright_plan::Plan;
use linewright_style::Style;
use linewright_theory::{Member, Pitch};

use crate::clarity::{AMBIGUOUS, CLEAR};
use crate::facts::{BarFacts, tension};
use crate::finding::Place;
use crate::rule::{Look, Rule};
use crate::segment::{head, likeness};
use crate::symbol::{CellSymbol, SYMBOLS, members_by_symbol};
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
                let root = plan.slots[*at - 1].ground.root;
                (0..12).any(|class| {
                    (-WIDEST..=WIDEST).any(|interval| {
                        let class = root.up(class);
                        let window = StepWindow::into_slot(style, plan, *at, class, interval);
                        test(&window) != 0
                    })
                })
            };
            slots.skip(1).filter(here).map(Place::Note).collect()
        }
        Look::Shape(test) => {
            // All that such a rule sees of its place, and whether it can find something there.
            let mut known: Vec<(ShapePlace, bool)> = Vec::new();
            let mut here = |at: &usize| {
                let place = ShapePlace::of(&plan.slots[*at - 1], &plan.slots[*at]);
                if let Some((_, can)) = known.iter().find(|(seen, _)| *seen == place) {
                    return *can;
                }
                let can = shape_can(place, test);
                known.push((place, can));
                can
            };
            slots
                .skip(2)
                .filter(|at| here(at))
                .map(Place::Note)
                .collect()
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

/// Whether some two moves at such a place have the rule find something.
fn shape_can(place: ShapePlace, test: fn(&ShapeWindow) -> i32) -> bool {
    let mut moves = (-WIDEST..=WIDEST).flat_map(|a| (-WIDEST..=WIDEST).map(move |b| (a, b)));
    moves.any(|(first, second)| {
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
}

/// Whether some cell over a bar's slots has the rule find something.
fn bar_can(plan: &Plan, bar: usize, test: fn(&BarWindow) -> i32) -> bool {
    let row = plan.bars[bar].slots.clone();
    let middle = row.start + head(row.len());
    let parts = [row.start..middle, middle..row.end];
    let mut parts = parts.into_iter().filter(|part| !part.is_empty());
    parts.any(|part| {
        let slots = &plan.slots[part];
        let symbols: Vec<[Member; SYMBOLS]> = slots
            .iter()
            .map(|slot| members_by_symbol(&slot.ground))
            .collect();
        let mut cell = vec![0; slots.len()];
        let mut members = vec![Member::Root; slots.len()];
        (0..SYMBOLS.pow(slots.len() as u32)).any(|number| {
            let mut rest = number;
            for (at, symbols) in symbols.iter().enumerate() {
                let symbol = rest % SYMBOLS;
                rest /= SYMBOLS;
                (cell[at], members[at]) = (symbol as CellSymbol, symbols[symbol]);
            }
            [CLEAR, AMBIGUOUS - CLEAR].into_iter().any(|clarity| {
                let window = BarWindow {
                    bar: &plan.bars[bar],
                    slots,
                    cell: &cell,
                    members: &members,
                    facts: BarFacts {
                        clarity,
                        tension: tension(&members, clarity),
                    },
                };
                test(&window) != 0
            })
        })
    })
}
