//! Where a rule could find something at all: where the plan and the harmony allow it.

use std::ops::Range;

use crate::plan::Plan;
use crate::style::Style;
use linewright_theory::{Member, Pitch};

use crate::clarity::{AMBIGUOUS, CLEAR};
use crate::facts::{BarFacts, tension};
use crate::finding::Place;
use crate::rule::{Look, Rule};
use crate::segment::{likeness, parts};
use crate::symbol::SYMBOLS;
use crate::window::{
    BarWindow, CellShape, CellWindow, EchoWindow, IntervalPlace, IntervalWindow, NoteWindow,
    OrderPlace, OrderWindow, ShapePlace, ShapeWindow, StepShape, StepWindow,
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
        Look::Order(test) => {
            let places = |bar: usize| -> Vec<(OrderPlace, usize)> {
                let place = |part: Range<usize>| {
                    let place = OrderPlace::over(&plan.bars[bar], &plan.slots[part.clone()]);
                    (place, part.len())
                };
                parts(plan.bars[bar].slots.clone()).map(place).collect()
            };
            let can = |bar: usize| {
                let mut places = places(bar).into_iter();
                places.any(|(place, notes)| {
                    some_choice(&vec![SYMBOLS; notes], |cell| {
                        test(&OrderWindow { place, cell }) != 0
                    })
                })
            };
            let bars = once_each(0..plan.bars.len(), places, can);
            bars.map(Place::Bar).collect()
        }
        Look::Cell(test) => {
            let shapes = |bar: usize| -> Vec<CellShape> {
                let bar = &plan.bars[bar];
                let parts = parts(bar.slots.clone());
                parts
                    .map(|part| CellShape::over(bar, &plan.slots[part]))
                    .collect()
            };
            let can = |bar: usize| {
                let mut shapes = shapes(bar).into_iter();
                shapes.any(|shape| cell_can(&shape, |cell| test(&cell) != 0))
            };
            let bars = once_each(0..plan.bars.len(), shapes, can);
            bars.map(Place::Bar).collect()
        }
        Look::Bar(test) => {
            let here = |bar: &usize| {
                let bar = &plan.bars[*bar];
                let can = |cell: CellWindow| {
                    [CLEAR, AMBIGUOUS - CLEAR].into_iter().any(|clarity| {
                        let facts = BarFacts {
                            clarity,
                            tension: tension(cell.members, clarity),
                        };
                        test(&BarWindow { bar, cell, facts }) != 0
                    })
                };
                let mut parts = parts(bar.slots.clone());
                parts.any(|part| cell_can(&CellShape::over(bar, &plan.slots[part]), can))
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

/// Whether some cell of a shape has a rule find something.
fn cell_can(shape: &CellShape, finds: impl Fn(CellWindow) -> bool) -> bool {
    let choices = shape.members.iter().map(|members| {
        let mut choices = members.to_vec();
        choices.sort_unstable();
        choices.dedup();
        choices
    });
    let choices: Vec<Vec<Member>> = choices.collect();
    let counts: Vec<usize> = choices.iter().map(Vec::len).collect();
    let mut members: Vec<Member> = choices.iter().map(|choices| choices[0]).collect();
    some_choice(&counts, |choice| {
        for ((member, choices), &nth) in members.iter_mut().zip(&choices).zip(choice) {
            *member = choices[usize::from(nth)];
        }
        finds(CellWindow {
            place: shape.place,
            members: &members,
        })
    })
}

/// Whether something is found with some choice, at each place one below its count.
fn some_choice(counts: &[usize], mut finds: impl FnMut(&[u8]) -> bool) -> bool {
    let mut choice = vec![0; counts.len()];
    loop {
        if finds(&choice) {
            return true;
        }
        // Counts on, the first place fastest.
        let mut places = choice.iter().zip(counts);
        let Some(at) = places.position(|(&nth, &count)| usize::from(nth) + 1 < count) else {
            return false;
        };
        choice[..at].fill(0);
        choice[at] += 1;
    }
}
