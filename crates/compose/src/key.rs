//! What the tables of moves, shapes and bars depend on: equal keys, equal
//! tables. Roots count only by their distance, so transposed passages share.

use linewright_lattice::CLASSES;
use linewright_rulebook::plan::{BarPlan, Beat, Clarity, GroundShape, Plan, Slot};
use linewright_rulebook::{
    CellShape, CellSymbol, IntervalPlace, OrderPlace, ShapePlace, StepShape,
};

/// What a table of moves depends on.
#[derive(Copy, Clone, PartialEq, Eq, Hash)]
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
#[derive(Copy, Clone, PartialEq, Eq, Hash)]
pub struct ShapeKey {
    pub place: ShapePlace,
    /// The widest moves that the tables of moves allow, first and second.
    pub reach: (i32, i32),
}

/// What the weights of orders depend on, and the symbols that some candidate has.
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct OrderKey {
    pub place: OrderPlace,
    pub live: Vec<u8>,
}

/// What the parts of a table of cells depend on.
#[derive(Clone, PartialEq, Eq, Hash)]
pub enum CellPart {
    Order(OrderKey),
    Cell(CellKey),
}

/// What the weights of cells depend on.
#[derive(Clone, PartialEq, Eq, Hash)]
pub struct CellKey {
    shape: CellShape,
    /// The symbols that some candidate has.
    live: Vec<u8>,
    /// Where the rulebook hears how clear a bar is: what that depends on, and the wishes for
    /// clarity and tension.
    heard: Option<(Vec<EvidenceKey>, Clarity, u16)>,
}

/// What the evidence of a note depends on.
#[derive(Copy, Clone, PartialEq, Eq, Hash)]
struct EvidenceKey {
    ground: GroundShape,
    /// The root above that of the first note.
    root: u8,
    strength: Beat,
    is_last: bool,
}

impl CellKey {
    pub fn new(hears_clarity: bool, bar: &BarPlan, slots: &[Slot], live: Vec<u8>) -> Self {
        let evidence = |slot: &Slot| EvidenceKey {
            ground: slot.ground.shape(),
            root: slot.ground.root.above(slots[0].ground.root),
            strength: slot.strength,
            is_last: slot.is_last(),
        };
        let evidence = || slots.iter().map(evidence).collect();
        Self {
            shape: CellShape::over(bar, slots),
            live,
            heard: hears_clarity.then(|| (evidence(), bar.clarity, bar.tension)),
        }
    }
}

/// What a table of cells depends on: their weights, and the symbols of each note's classes.
pub type BarKey = (OrderPlace, CellKey, Vec<[CellSymbol; CLASSES]>);
