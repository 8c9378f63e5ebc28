//! An interval, whatever its notes.

use crate::plan::{BeatOfBar, Slot};
use crate::style::Style;

/// Where an interval falls: all that rules see of it but its size.
#[derive(Copy, Clone, Debug, PartialEq, Eq, Hash)]
pub struct IntervalPlace {
    /// Length in beats of the note that is left.
    pub beats: u8,
    /// Which beat the note moved to is.
    pub into: BeatOfBar,
    /// Whether the register may leap into the note moved to.
    pub shift: bool,
    /// Whether the line ends with the note moved to.
    pub ends: bool,
    /// Tempo in beats a minute.
    pub tempo: u16,
}

impl IntervalPlace {
    /// The place of the move from one slot to the next.
    pub fn of(from: &Slot, slot: &Slot) -> Self {
        Self {
            beats: from.beats,
            into: slot.stands(),
            shift: slot.shift,
            ends: slot.next.is_none(),
            tempo: slot.tempo,
        }
    }
}

/// An interval from one note to the next, whatever the notes.
pub struct IntervalWindow<'a> {
    /// The style's limits.
    pub style: &'a Style,
    /// Where it falls.
    pub place: IntervalPlace,
    /// Semitones moved, up positive.
    pub interval: i32,
}

impl IntervalWindow<'_> {
    /// Semitones moved, either way.
    pub fn size(&self) -> i32 {
        self.interval.abs()
    }
}
