//! The note is a sixth, a ninth or another extension of the chord.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// The note is a sixth, a ninth or another extension of the chord.
pub static COLOUR_TONE: Rule = Rule {
    name: "colour-tone",
    family: Family::Tone,
    sentence: "The note is a sixth, a ninth or another extension of the chord.",
    label: Label::This("colour tone"),
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    if w.member() == Member::Colour {
        FULL
    } else {
        0
    }
}
