//! Two steps the same way.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// Two steps the same way.
pub static SCALE_RUN: Rule = Rule {
    name: "scale-run",
    family: Family::Melody,
    sentence: "Two steps the same way.",
    label: Label::None,
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    if w.same_way() && w.first.abs() <= 2 && w.second.abs() <= 2 {
        FULL
    } else {
        0
    }
}
