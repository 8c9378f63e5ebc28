//! The same note three times in a row.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// The same note three times in a row.
pub static THREE_ALIKE: Rule = Rule {
    name: "three-alike",
    family: Family::Melody,
    sentence: "The same note three times in a row.",
    label: Label::None,
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    if w.first == 0 && w.second == 0 {
        FULL
    } else {
        0
    }
}
