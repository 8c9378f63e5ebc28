//! The next chord's root already sounds on the last note before it.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// The next chord's root already sounds on the last note before it.
pub static EARLY_ROOT: Rule = Rule {
    name: "early-root",
    family: Family::Approach,
    sentence: "The next chord's root already sounds on the last note before it.",
    label: Label::This("early root"),
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    let next = w
        .slot
        .next
        .as_ref()
        .filter(|next| w.slot.chord_ends && next.line_root != w.slot.ground.line_root);
    if next.is_some_and(|next| next.line_root == w.pitch.class()) {
        FULL
    } else {
        0
    }
}
