//! Where the plan asks for it, the next chord's root closes the bar on its last beat.

use linewright_plan::Cadence;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// Where the plan asks for it, the next chord's root closes the bar on its last beat.
pub static NEXT_ROOT_CADENCE: Rule = Rule {
    name: "next-root-cadence",
    family: Family::Cadence,
    sentence: "Where the plan asks for it, the next chord's root closes the bar on its last beat.",
    label: Label::This("cadence on the next root"),
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    let planned = w.bar.cadence == Some(Cadence::NextRoot) && w.slot.is_last();
    let next = w
        .slot
        .next
        .as_ref()
        .is_some_and(|next| next.line_root == w.pitch.class());
    if planned && next { FULL } else { 0 }
}
