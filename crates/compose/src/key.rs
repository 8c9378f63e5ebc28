//! What the tables of moves, shapes and bars depend on: equal keys, equal
//! tables. Roots count only by their distance, so transposed passages share.

use linewright_plan::{BarPlan, Beat, Cadence, Clarity, GroundShape, Plan, Slot};
use linewright_rules::{IntervalPlace, ShapePlace, StepShape};

/// What a slot shows to a rule that looks at cells: not what comes after the bar.
#[derive(Copy, Clone, PartialEq, Eq, Hash)]
struct SlotKey {
    ground: GroundShape,
    /// Its root above that of the first slot.
    root: u8,
    beats: u8,
    position: u8,
    of: u8,
    strength: Beat,
    chord_starts: bool,
    live: u16,
}

/// What a table of moves depends on.
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct StepKey {
    place: IntervalPlace,
    shape: StepShape,
    /// The classes left and moved to that some candidate has.
    live: [u16; 2],
}

impl StepKey {
    /// What the moves into slot `at` (at least 1) depend on.
    pub fn new(plan: &Plan, at: usize, live: [u16; 2]) -> Self {
        Self {
            place: IntervalPlace::of(&plan.slots[at - 1], &plan.slots[at]),
            shape: StepShape::into_slot(plan, at),
            live,
        }
    }
}

/// What a table of shapes depends on.
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct ShapeKey {
    pub place: ShapePlace,
    /// The widest moves that the tables of moves allow, first and second.
    pub reach: (i32, i32),
}

/// What a table of cells depends on.
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct BarKey {
    slots: Vec<SlotKey>,
    cadence: Option<Cadence>,
    /// The wishes for clarity and tension, where the rulebook hears them.
    wishes: Option<(Clarity, u16)>,
}

impl BarKey {
    pub fn new(hears_clarity: bool, bar: &BarPlan, slots: &[Slot], live: &[u16]) -> Self {
        let first = slots[0].ground.root;
        let key = |(slot, &live): (&Slot, &u16)| SlotKey {
            ground: slot.ground.shape(),
            root: slot.ground.root.above(first),
            beats: slot.beats,
            position: slot.position,
            of: slot.of,
            strength: slot.strength,
            chord_starts: slot.chord_starts,
            live,
        };
        Self {
            slots: slots.iter().zip(live).map(key).collect(),
            cadence: bar.cadence,
            wishes: hears_clarity.then_some((bar.clarity, bar.tension)),
        }
    }
}
