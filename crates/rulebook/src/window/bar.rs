//! Bars: their cells, how clear they are, and how they begin.

use crate::plan::{BarPlan, Cadence, Slot};
use linewright_theory::Member;

use crate::facts::BarFacts;
use crate::symbol::{SYMBOLS, members_by_symbol};

/// Where a cell stands: all that rules see of it but what its notes are to their chords.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub struct CellPlace {
    /// The cadence that is planned for the bar.
    pub cadence: Option<Cadence>,
    /// Whether the cell begins with the bar's first note.
    pub begins_bar: bool,
    /// Whether it holds the bar's last note.
    pub ends_bar: bool,
    /// The last note with which a new chord starts, from 0; the first where none does.
    pub new_chord: u8,
}

impl CellPlace {
    /// The place of a cell over some slots of a bar, of which there is one at least.
    pub fn over(bar: &BarPlan, slots: &[Slot]) -> Self {
        let new_chord = slots.iter().rposition(|slot| slot.chord_starts);
        Self {
            cadence: bar.cadence,
            begins_bar: slots[0].position == 0,
            ends_bar: slots[slots.len() - 1].is_last(),
            new_chord: new_chord.unwrap_or(0) as u8,
        }
    }
}

/// All that rules see of the cells over some slots but the notes: where it is alike, they find
/// the same.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct CellShape {
    pub(crate) place: CellPlace,
    /// Of each note, what its symbols stand for.
    pub(crate) members: Vec<[Member; SYMBOLS]>,
}

impl CellShape {
    /// The shape of the cells over some slots of a bar, of which there is one at least.
    pub fn over(bar: &BarPlan, slots: &[Slot]) -> Self {
        let members = slots.iter().map(|slot| members_by_symbol(&slot.ground));
        Self {
            place: CellPlace::over(bar, slots),
            members: members.collect(),
        }
    }
}

/// What the notes of a cell (see [`OrderWindow`](super::OrderWindow)) are to their chords.
#[derive(Copy, Clone)]
pub struct CellWindow<'a> {
    /// Where it stands.
    pub place: CellPlace,
    /// What each note is to its chord.
    pub members: &'a [Member],
}

impl CellWindow<'_> {
    /// Whether any note is this to its chord.
    pub fn has(&self, member: Member) -> bool {
        self.members.contains(&member)
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
