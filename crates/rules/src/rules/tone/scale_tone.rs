//! The note lies in the chord's scale and is neither a chord tone nor a colour tone.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// The note lies in the chord's scale and is neither a chord tone nor a colour tone.
pub static SCALE_TONE: Rule = Rule {
    name: "scale-tone",
    family: Family::Tone,
    sentence: "The note lies in the chord's scale and is neither a chord tone nor a colour tone.",
    label: Label::This("scale tone"),
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    if w.member() == Member::Scale { FULL } else { 0 }
}
