//! One note over its chord.

use crate::plan::{BarPlan, Slot};
use crate::style::Style;
use linewright_theory::{Member, Pitch};

/// One note over its chord.
pub struct NoteWindow<'a> {
    /// The style's limits and range.
    pub style: &'a Style,
    /// The plan of the bar.
    pub bar: &'a BarPlan,
    /// When the note sounds and over what.
    pub slot: &'a Slot,
    /// The note.
    pub pitch: Pitch,
}

impl NoteWindow<'_> {
    /// What the note is to its chord.
    pub fn member(&self) -> Member {
        self.slot.ground.member(self.pitch.class())
    }
}
