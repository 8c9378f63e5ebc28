//! Two moves in a row.

use crate::plan::Slot;

/// Where two moves in a row come to rest.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub struct ShapePlace {
    /// Whether the last note is an arrival.
    pub arrival: bool,
    /// Whether the register may leap into the middle note.
    pub middle_shift: bool,
}

impl ShapePlace {
    /// The place of the notes in two neighbouring slots.
    pub fn of(middle: &Slot, slot: &Slot) -> Self {
        Self {
            arrival: slot.is_arrival(),
            middle_shift: middle.shift,
        }
    }
}

/// Two moves in a row. Only intervals and chord tones are seen.
pub struct ShapeWindow {
    /// Semitones of the first move, up positive.
    pub first: i32,
    /// Semitones of the second move, up positive.
    pub second: i32,
    /// Whether the middle note is a tone of its chord.
    pub middle_is_chord_tone: bool,
    /// Whether the last note is a tone of its chord.
    pub last_is_chord_tone: bool,
    /// Where the last note falls.
    pub place: ShapePlace,
}

impl ShapeWindow {
    /// Whether both moves go the same way, neither standing still.
    pub fn same_way(&self) -> bool {
        self.first.signum() * self.second.signum() > 0
    }

    /// Whether the second move turns back.
    pub fn turns(&self) -> bool {
        self.first.signum() * self.second.signum() < 0
    }
}
