//! A note that the style's range does not hold.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::NoteWindow;

/// A note that the style's range does not hold.
pub static OUT_OF_RANGE: Rule = Rule {
    name: "out-of-range",
    family: Family::Register,
    sentence: "A note that the style's range does not hold.",
    label: Label::None,
    look: Look::Note(test),
};

fn test(w: &NoteWindow) -> Strength {
    if w.pitch < w.style.range.low || w.pitch > w.style.range.high {
        FULL
    } else {
        0
    }
}
