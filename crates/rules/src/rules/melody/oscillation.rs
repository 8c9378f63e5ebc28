//! Away and straight back to the same note; half as heavy by step as by skip or leap.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// Away and straight back to the same note; half as heavy by step as by skip or leap.
pub static OSCILLATION: Rule = Rule {
    name: "oscillation",
    family: Family::Melody,
    sentence: "Away and straight back to the same note; half as heavy by step as by skip or leap.",
    label: Label::None,
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    if w.first == 0 || w.first != -w.second {
        0
    } else if w.first.abs() <= 2 {
        FULL / 2
    } else {
        FULL
    }
}
