//! The note is the chord's root, third, fifth or seventh.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// The note is the chord's root, third, fifth or seventh.
pub static CHORD_TONE: Rule = Rule {
    name: "chord-tone",
    family: Family::Tone,
    sentence: "The note is the chord's root, third, fifth or seventh.",
    label: Label::This("chord tone"),
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    if w.member() <= Member::Seventh {
        FULL
    } else {
        0
    }
}
