//! A note that is no chord tone, passed through by step in one direction.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// A note that is no chord tone, passed through by step in one direction.
pub static PASSING_TONE: Rule = Rule {
    name: "passing-tone",
    family: Family::Approach,
    sentence: "A note that is no chord tone, passed through by step in one direction.",
    label: Label::Before("passing tone"),
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    let by_step = w.same_way() && w.first.abs() <= 2 && w.second.abs() <= 2;
    if by_step && !w.middle_is_chord_tone {
        FULL
    } else {
        0
    }
}
