//! What the tables of moves, shapes and bars depend on: equal keys, equal
//! tables. Roots count only by their distance, so transposed passages share.

use linewright_plan::{BarPlan, Beat, Cadence, Clarity, Ground, GroundShape, Slot};
use linewright_rules::ShapePlace;

/// What a slot shows to a rule that looks at moves or cells.
#[derive(Copy, Clone, PartialEq, Eq, Hash)]
struct SlotKey {
    ground: GroundShape,
    /// The harmony to come, and its root above this one.
    next: Option<(GroundShape, u8)>,
    beats: u8,
    position: u8,
    of: u8,
    strength: Beat,
    chord_starts: bool,
    chord_ends: bool,
    shift: bool,
    tempo: u16,
    live: u16,
}

fn above(ground: &Ground, root: &Ground) -> (GroundShape, u8) {
    (ground.shape(), ground.root.above(root.root))
}

impl SlotKey {
    fn new(slot: &Slot, live: u16) -> Self {
        Self {
            ground: slot.ground.shape(),
            next: slot.next.as_ref().map(|next| above(next, &slot.ground)),
            beats: slot.beats,
            position: slot.position,
            of: slot.of,
            strength: slot.strength,
            chord_starts: slot.chord_starts,
            chord_ends: slot.chord_ends,
            shift: slot.shift,
            tempo: slot.tempo,
            live,
        }
    }
}

/// What a table of moves depends on.
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct StepKey {
    from: SlotKey,
    slot: SlotKey,
    root: u8,
    cadence: Option<Cadence>,
    clarity: Clarity,
    clarity_before: Option<Clarity>,
}

impl StepKey {
    pub fn new(
        from: &Slot,
        slot: &Slot,
        bar: &BarPlan,
        before: Option<&BarPlan>,
        from_live: u16,
        live: u16,
    ) -> Self {
        Self {
            from: SlotKey::new(from, from_live),
            slot: SlotKey::new(slot, live),
            root: slot.ground.root.above(from.ground.root),
            cadence: bar.cadence,
            clarity: bar.clarity,
            clarity_before: before.map(|bar| bar.clarity),
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
    /// Each slot, and its root above the first one's.
    slots: Vec<(SlotKey, u8)>,
    cadence: Option<Cadence>,
    /// The wishes for clarity and tension, where the rulebook hears them.
    wishes: Option<(Clarity, u16)>,
}

impl BarKey {
    pub fn new(hears_clarity: bool, bar: &BarPlan, slots: &[Slot], live: &[u16]) -> Self {
        let first = slots[0].ground.root;
        let key = |(slot, live): (&Slot, &u16)| {
            (
                cell_key(SlotKey::new(slot, *live)),
                slot.ground.root.above(first),
            )
        };
        Self {
            slots: slots.iter().zip(live).map(key).collect(),
            cadence: bar.cadence,
            wishes: hears_clarity.then_some((bar.clarity, bar.tension)),
        }
    }
}

/// Rules on cells do not see what comes after the bar.
fn cell_key(key: SlotKey) -> SlotKey {
    SlotKey {
        next: None,
        chord_ends: false,
        shift: false,
        tempo: 0,
        ..key
    }
}
