//! A chromatic note on a strong beat, where it sounds like a wrong one.

use linewright_plan::Beat;
use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// A chromatic note on a strong beat, where it sounds like a wrong one.
pub static CHROMATIC_ON_THE_BEAT: Rule = Rule {
    name: "chromatic-on-the-beat",
    family: Family::Tone,
    sentence: "A chromatic note on a strong beat, where it sounds like a wrong one.",
    label: Label::None,
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    if w.member() == Member::Outside && w.slot.strength != Beat::Weak {
        FULL
    } else {
        0
    }
}
