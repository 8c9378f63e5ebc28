//! Two half steps the same way into a chord tone on an arrival.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// Two half steps the same way into a chord tone on an arrival.
pub static DOUBLE_CHROMATIC_APPROACH: Rule = Rule {
    name: "double-chromatic-approach",
    family: Family::Approach,
    sentence: "Two half steps the same way into a chord tone on an arrival.",
    label: Label::BothBefore("double chromatic approach"),
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    if w.place.arrival && w.last_is_chord_tone && w.first == w.second && w.first.abs() == 1 {
        FULL
    } else {
        0
    }
}
