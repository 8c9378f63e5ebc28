//! Bars: their cells, how clear they are, and how they begin.

use linewright_plan::{BarPlan, Cadence, Slot};
use linewright_theory::Member;

use crate::facts::BarFacts;
use crate::symbol::CellSymbol;

/// The cell of a whole bar (of the first three or four notes of a longer one,
/// then of the rest).
#[derive(Copy, Clone)]
pub struct CellWindow<'a> {
    /// The cadence that is planned for the bar.
    pub cadence: Option<Cadence>,
    /// The slots of the notes.
    pub slots: &'a [Slot],
    /// One symbol for each note.
    pub cell: &'a [CellSymbol],
    /// What each note is to its chord.
    pub members: &'a [Member],
}

impl CellWindow<'_> {
    /// Whether any note is this to its chord.
    pub fn has(&self, member: Member) -> bool {
        self.members.contains(&member)
    }

    /// Whether the window begins with the bar's first note.
    pub fn begins_bar(&self) -> bool {
        self.slots[0].position == 0
    }

    /// Whether the window holds the bar's last note.
    pub fn ends_bar(&self) -> bool {
        self.slots[self.slots.len() - 1].is_last()
    }

    /// The cell, where this is a whole bar of four notes over one chord.
    pub fn cell_of_four(&self) -> Option<[CellSymbol; 4]> {
        let cell = self.cell.try_into().ok()?;
        let one_chord = self.slots[1..].iter().all(|slot| !slot.chord_starts);
        (self.slots[0].of == 4 && one_chord).then_some(cell)
    }
}

/// A cell, and what is computed of it.
pub struct BarWindow<'a> {
    /// The plan of the bar.
    pub bar: &'a BarPlan,
    /// The cell.
    pub cell: CellWindow<'a>,
    /// What has been computed of it.
    pub facts: BarFacts,
}

/// A bar that begins with the degrees of the bar before it.
pub struct EchoWindow<'a> {
    /// The first slot of the bar before.
    pub before: &'a Slot,
    /// The first slot of this bar.
    pub slot: &'a Slot,
}
