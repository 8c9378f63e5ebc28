//! What all arrivals share.

use linewright_theory::Member;

use crate::plan::Beat;
use crate::rule::{FULL, Strength, full_if};
use crate::window::NoteWindow;

/// Full where a new chord begins, half on beat one of a held chord.
pub(super) fn arrival_of(w: &NoteWindow, wanted: impl Fn(Member) -> bool) -> Strength {
    if !w.slot.is_arrival() || !wanted(w.member()) {
        0
    } else if w.slot.chord_starts {
        FULL
    } else {
        FULL / 2
    }
}

/// Full on beat one of a chord that is only held, where the note is this to it.
pub(super) fn held(w: &NoteWindow, member: Member) -> Strength {
    let is_held = w.slot.strength == Beat::Down && !w.slot.chord_starts;
    full_if(is_held && w.member() == member)
}
