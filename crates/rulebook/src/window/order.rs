//! The order of a bar's degrees.

use crate::plan::{BarPlan, Figure, Slot};

use crate::symbol::CellSymbol;

/// Where a cell stands: all that rules on the order of degrees see but the degrees.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub struct OrderPlace {
    /// Whether the cell begins with the bar's first note.
    pub begins_bar: bool,
    /// How many notes the bar has.
    pub of: u8,
    /// The degrees that the bar wishes for.
    pub figure: Option<Figure>,
    /// The notes with which a new chord starts, as bits from the first on.
    chord_starts: u8,
}

impl OrderPlace {
    /// The place of a cell over some slots of a bar, of which there is one at least.
    pub fn over(bar: &BarPlan, slots: &[Slot]) -> Self {
        let starts = slots.iter().enumerate();
        let starts = starts.filter(|(_, slot)| slot.chord_starts);
        Self {
            begins_bar: slots[0].position == 0,
            of: slots[0].of,
            figure: bar.figure,
            chord_starts: starts.fold(0, |bits, (nth, _)| bits | 1 << nth),
        }
    }

    /// Whether a new chord starts with the nth note of the cell, from 0.
    pub fn chord_starts(&self, nth: usize) -> bool {
        self.chord_starts >> nth & 1 == 1
    }
}

/// The cell of a whole bar (of the first three or four notes of a longer one,
/// then of the rest), whatever its chords.
#[derive(Copy, Clone)]
pub struct OrderWindow<'a> {
    /// Where it stands.
    pub place: OrderPlace,
    /// One symbol for each note.
    pub cell: &'a [CellSymbol],
}

impl OrderWindow<'_> {
    /// The cell, where this is a whole bar of four notes over one chord.
    pub fn cell_of_four(&self) -> Option<[CellSymbol; 4]> {
        let cell = self.cell.try_into().ok()?;
        let one_chord = (1..4).all(|nth| !self.place.chord_starts(nth));
        (self.place.of == 4 && one_chord).then_some(cell)
    }
}
