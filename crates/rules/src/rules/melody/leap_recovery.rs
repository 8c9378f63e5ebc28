//! A leap beyond a fifth, then a step or a third back the other way.

use super::recovery::recovers;
use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// A leap beyond a fifth, then a step or a third back the other way.
pub static LEAP_RECOVERY: Rule = Rule {
    name: "leap-recovery",
    family: Family::Melody,
    sentence: "A leap beyond a fifth, then a step or a third back the other way.",
    label: Label::None,
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    if w.first.abs() > 7 && recovers(w) {
        FULL
    } else {
        0
    }
}
