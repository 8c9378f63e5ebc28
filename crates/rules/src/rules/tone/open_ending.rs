//! The line's last note is not a chord tone.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// The line's last note is not a chord tone.
pub static OPEN_ENDING: Rule = Rule {
    name: "open-ending",
    family: Family::Tone,
    sentence: "The line's last note is not a chord tone.",
    label: Label::None,
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    if w.slot.next.is_none() && w.member() > Member::Seventh {
        FULL
    } else {
        0
    }
}
