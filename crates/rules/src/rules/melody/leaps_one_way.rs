//! Two leaps the same way that cover more than an octave between them.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// Two leaps the same way that cover more than an octave between them.
pub static LEAPS_ONE_WAY: Rule = Rule {
    name: "leaps-one-way",
    family: Family::Melody,
    sentence: "Two leaps the same way that cover more than an octave between them.",
    label: Label::None,
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    let leaps = w.first.abs() > 4 && w.second.abs() > 4;
    if w.same_way() && leaps && (w.first + w.second).abs() > 12 {
        FULL
    } else {
        0
    }
}
