//! What one rulebook gives for every entry of a table of moves or of shapes.

use linewright_lattice::{CLASSES, NEVER, TrigramTable};
use linewright_rulebook::plan::Plan;
use linewright_rulebook::style::Style;
use linewright_rulebook::{
    IntervalPlace, IntervalWindow, RuleBook, ShapePlace, ShapeWindow, StepWindow,
};

use crate::tables::{together, weight};

/// What some rulebooks give together for every interval between so many candidates, from the
/// widest down to the widest up.
pub fn of_intervals(
    books: &[&RuleBook],
    style: &Style,
    place: IntervalPlace,
    candidates: usize,
) -> Vec<i32> {
    let reach = candidates as i32 - 1;
    let of_interval = |interval| {
        let window = IntervalWindow {
            style,
            place,
            interval,
        };
        let weights = books.iter().map(|book| weight(book.interval(&window)));
        weights.fold(0, together)
    };
    (-reach..=reach).map(of_interval).collect()
}

/// The moves into a slot: at least 1.
pub struct Moves<'a> {
    pub plan: &'a Plan,
    pub slot: usize,
    /// What is given for each interval: see [`of_intervals`].
    pub intervals: Vec<i32>,
    /// The classes left and moved to that some candidate has.
    pub live: [u16; 2],
}

impl Moves<'_> {
    /// By class left and interval, whether there is such a move: it is not forbidden for its
    /// interval, and some candidates go that way.
    fn allowed(&self) -> impl Iterator<Item = (usize, usize, bool)> {
        let slots = &self.plan.slots;
        let (from, ground) = (&slots[self.slot - 1].ground, &slots[self.slot].ground);
        let reach = self.intervals.len() as i32 / 2;
        (0..CLASSES).flat_map(move |class| {
            let left = self.live[0] >> class & 1 == 1;
            let lowest = from.root.up(class as i32 - reach);
            let mut there = ground.offset(lowest);
            let intervals = self.intervals.iter().enumerate();
            intervals.map(move |(nth, &weight)| {
                let is_live = left && self.live[1] >> there & 1 == 1;
                there = (there + 1) % CLASSES as u8;
                (class, nth, is_live && weight != NEVER)
            })
        })
    }

    /// What a rulebook gives for each, over their chords; in the order of
    /// [`BigramTable::entries`](linewright_lattice::BigramTable::entries).
    pub fn steps(&self, book: &RuleBook) -> Vec<i32> {
        let root = self.plan.slots[self.slot - 1].ground.root;
        let reach = self.intervals.len() as i32 / 2;
        let mut step = StepWindow::into_slot(self.plan, self.slot, root, 0);
        let mut weights = Vec::with_capacity(CLASSES * self.intervals.len());
        for (class, nth, allowed) in self.allowed() {
            step.from_class = root.up(class as i32);
            step.interval = nth as i32 - reach;
            weights.push(match allowed {
                true => weight(book.step(&step)),
                false => NEVER,
            });
        }
        weights
    }

    /// The same with what is given for the interval, and the widest interval that is left.
    pub fn with_intervals(&self, mut steps: Vec<i32>) -> (Vec<i32>, i32) {
        let reach = self.intervals.len() / 2;
        let mut widest = 0;
        for (weight, (_, nth, allowed)) in steps.iter_mut().zip(self.allowed()) {
            *weight = match allowed {
                true => together(*weight, self.intervals[nth]),
                false => NEVER,
            };
            if *weight != NEVER {
                widest = widest.max(nth.abs_diff(reach));
            }
        }
        (steps, widest as i32)
    }
}

/// What a rulebook gives for two moves in a row between so many candidates, in the order of
/// [`TrigramTable::entries`]. Moves wider than `reach`, and such as lead out of the candidates
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
    weights.extend(TrigramTable::entries(candidates).map(weigh));
    weights
}
