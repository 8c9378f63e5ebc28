//! What one rulebook gives for every entry of a table of moves or of shapes.

use linewright_lattice::{CLASSES, NEVER, ShapeTable};
use linewright_plan::Plan;
use linewright_rules::{
    IntervalPlace, IntervalWindow, RuleBook, ShapePlace, ShapeWindow, StepWindow,
};
use linewright_style::Style;

use crate::tables::{together, weight};

/// What a rulebook gives for the moves into slot `at` (at least 1) between so many candidates,
/// in the order of [`StepTable::entries`](linewright_lattice::StepTable::entries). Nothing goes
/// between classes that are not `live`: those left and those moved to.
pub fn of_moves(
    book: &RuleBook,
    style: &Style,
    plan: &Plan,
    at: usize,
    candidates: usize,
    live: [u16; 2],
) -> Vec<i32> {
    let (from, slot) = (&plan.slots[at - 1], &plan.slots[at]);
    let reach = candidates as i32 - 1;
    let place = IntervalPlace::of(from, slot);
    let of_interval = |interval| {
        let window = IntervalWindow {
            style,
            place,
            interval,
        };
        weight(book.interval(&window))
    };
    let intervals: Vec<i32> = (-reach..=reach).map(of_interval).collect();
    let hears_steps = book.hears_steps();
    let mut step = StepWindow::into_slot(plan, at, from.ground.root, 0);
    let mut weights = Vec::with_capacity(CLASSES * intervals.len());
    for class in 0..CLASSES {
        step.from_class = from.ground.root.up(class as i32);
        for (interval, &of_interval) in (-reach..).zip(&intervals) {
            step.interval = interval;
            let there = slot.ground.offset(step.class());
            let is_live = live[0] & 1 << class != 0 && live[1] & 1 << there != 0;
            weights.push(match is_live && of_interval != NEVER {
                false => NEVER,
                true if hears_steps => together(of_interval, weight(book.step(&step))),
                true => of_interval,
            });
        }
    }
    weights
}

/// What a rulebook gives for two moves in a row between so many candidates, in the order of
/// [`ShapeTable::entries`]. Moves wider than `reach`, and such as lead out of the candidates
/// together, are left out.
pub fn of_shapes(
    book: &RuleBook,
    place: ShapePlace,
    candidates: usize,
    reach: (i32, i32),
) -> Vec<i32> {
    let widest = candidates as i32 - 1;
    let weigh = |([middle, last], [first, second]): ([bool; 2], [i32; 2])| {
        let is_within =
            first.abs() <= reach.0 && second.abs() <= reach.1 && (first + second).abs() <= widest;
        if !is_within {
            return NEVER;
        }
        let window = ShapeWindow {
            first,
            second,
            middle_is_chord_tone: middle,
            last_is_chord_tone: last,
            place,
        };
        weight(book.shape(&window))
    };
    let mut weights = Vec::with_capacity(4 * (2 * candidates - 1).pow(2));
    weights.extend(ShapeTable::entries(candidates).map(weigh));
    weights
}
