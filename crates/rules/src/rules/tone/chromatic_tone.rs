//! The note lies outside the chord's scale.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// The note lies outside the chord's scale.
pub static CHROMATIC_TONE: Rule = Rule {
    name: "chromatic-tone",
    family: Family::Tone,
    sentence: "The note lies outside the chord's scale.",
    label: Label::This("chromatic tone"),
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    if w.member() == Member::Outside {
        FULL
    } else {
        0
    }
}
