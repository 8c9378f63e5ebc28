//! How many different notes a bar has.

use crate::symbol::SYMBOLS;
use crate::window::OrderWindow;

/// The different notes of a bar of four, octaves aside; `None` of other bars. The same degree over
/// another chord of the bar is another note.
pub(super) fn different_notes(w: &OrderWindow) -> Option<u32> {
    if w.cell.len() < 4 || !w.place.begins_bar {
        return None;
    }
    let mut chord = 0;
    let mut seen = 0_u32;
    for (nth, symbol) in w.cell.iter().enumerate() {
        if nth > 0 && w.place.chord_starts(nth) {
            chord += SYMBOLS;
        }
        seen |= 1 << (chord + usize::from(*symbol));
    }
    Some(seen.count_ones())
}
