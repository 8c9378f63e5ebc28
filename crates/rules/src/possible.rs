//! Where a rule could find something at all: where the plan and the harmony allow it.

use std::ops::Range;

use linewright_plan::{BarPlan, Plan, Slot};
use linewright_style::Style;
use linewright_theory::{Member, Pitch};

use crate::clarity::{AMBIGUOUS, CLEAR};
use crate::facts::{BarFacts, tension};
use crate::finding::Place;
use crate::rule::{Look, Rule};
use crate::segment::{head, likeness};
use crate::symbol::{CellSymbol, SYMBOLS, members_by_symbol};
use crate::window::{
    BarWindow, CellWindow, EchoWindow, IntervalPlace, IntervalWindow, NoteWindow, ShapePlace,
    ShapeWindow, StepShape, StepWindow,
};

/// The widest move that is tried, in semitones: beyond the widest limit that a style may set.
const WIDEST: i32 = 30;

/// The places of a plan at which a rule could find something, whatever the notes, in order.
/// A bar is taken to be clear, or as unclear as can be, as a rule on bars needs it.
pub fn possible_places(rule: &Rule, style: &Style, plan: &Plan) -> Vec<Place> {
    let slots = plan.slots.len();
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
            (0..slots).filter(here).map(Place::Note).collect()
        }
        Look::Interval(test) => {
            let place = |at: usize| IntervalPlace::of(&plan.slots[at - 1], &plan.slots[at]);
            let can = |at: usize| {
                let place = place(at);
                (-WIDEST..=WIDEST).any(|interval| {
                    let window = IntervalWindow {
                        style,
                        place,
                        interval,
                    };
                    test(&window) != 0
                })
            };
            once_each(1..slots, place, can).map(Place::Note).collect()
        }
        Look::Step(test) => {
            let shape = |at: usize| StepShape::into_slot(plan, at);
            let can = |at: usize| {
                let root = plan.slots[at - 1].ground.root;
                let mut window = StepWindow::into_slot(plan, at, root, 0);
                (0..12).any(|class| {
                    window.from_class = root.up(class);
                    (-WIDEST..=WIDEST).any(|interval| {
                        window.interval = interval;
                        test(&window) != 0
                    })
                })
            };
            once_each(1..slots, shape, can).map(Place::Note).collect()
        }
        Look::Shape(test) => {
            let place = |at: usize| ShapePlace::of(&plan.slots[at - 1], &plan.slots[at]);
            let can = |at: usize| shape_can(place(at), test);
            once_each(2..slots, place, can).map(Place::Note).collect()
        }
        Look::Cell(test) => {
            // Bars over the same chords at the same places have the same cells.
            let seen = |slot: &Slot| {
                let time = (slot.beat, slot.beats, slot.position, slot.of, slot.strength);
                (slot.ground.shape(), slot.chord_starts, time)
            };
            let seen = |bar: usize| {
                let bar = &plan.bars[bar];
                let slots = plan.slots[bar.slots.clone()].iter();
                (bar.cadence, slots.map(seen).collect::<Vec<_>>())
            };
            let can = |bar: usize| bar_can(plan, &plan.bars[bar], |cell| test(&cell) != 0);
            let bars = once_each(0..plan.bars.len(), seen, can);
            bars.map(Place::Bar).collect()
        }
        Look::Bar(test) => {
            let here = |bar: &usize| {
                let bar = &plan.bars[*bar];
                bar_can(plan, bar, |cell| {
                    [CLEAR, AMBIGUOUS - CLEAR].into_iter().any(|clarity| {
                        let facts = BarFacts {
                            clarity,
                            tension: tension(cell.members, clarity),
                        };
                        test(&BarWindow { bar, cell, facts }) != 0
                    })
                })
            };
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

/// The numbers that `can`: it is asked once of those of which as much is `seen`.
fn once_each<Seen: PartialEq>(
    numbers: Range<usize>,
    seen: impl Fn(usize) -> Seen,
    can: impl Fn(usize) -> bool,
) -> impl Iterator<Item = usize> {
    let mut known: Vec<(Seen, bool)> = Vec::new();
    numbers.filter(move |&number| {
        let seen = seen(number);
        if let Some((_, can)) = known.iter().find(|(known, _)| *known == seen) {
            return *can;
        }
        let can = can(number);
        known.push((seen, can));
        can
    })
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

/// Whether some cell over a bar's slots has a rule find something.
fn bar_can(plan: &Plan, bar: &BarPlan, finds: impl Fn(CellWindow) -> bool) -> bool {
    let row = bar.slots.clone();
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
        let mut members: Vec<Member> = symbols.iter().map(|symbols| symbols[0]).collect();
        loop {
            let window = CellWindow {
                cadence: bar.cadence,
                slots,
                cell: &cell,
                members: &members,
            };
            if finds(window) {
                return true;
            }
            // Counts on, the first note fastest.
            let more = |symbol: &CellSymbol| usize::from(*symbol) + 1 < SYMBOLS;
            let Some(at) = cell.iter().position(more) else {
                return false;
            };
            cell[..at].fill(0);
            cell[at] += 1;
            for at in 0..=at {
                members[at] = symbols[at][usize::from(cell[at])];
            }
        }
    })
}
