//! Two moves the same way, neither wider than a third: the line goes somewhere.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// Two moves the same way, neither wider than a third: the line goes somewhere.
pub static DIRECTION: Rule = Rule {
    name: "direction",
    family: Family::Melody,
    sentence: "Two moves the same way, neither wider than a third: the line goes somewhere.",
    label: Label::None,
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    if w.same_way() && w.first.abs() <= 4 && w.second.abs() <= 4 {
        FULL
    } else {
        0
    }
}
