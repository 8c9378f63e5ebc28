//! What all arrivals share.

use linewright_theory::Member;

use crate::rule::{FULL, Strength};
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
