//! A note that is no chord tone, reached by step and left by the same step back to a chord tone.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// A note that is no chord tone, reached by step and left by the same step back to a chord tone.
pub static NEIGHBOUR_TONE: Rule = Rule {
    name: "neighbour-tone",
    family: Family::Approach,
    sentence: "A note that is no chord tone, reached by step and left by the same step back to a chord tone.",
    label: Label::Before("neighbour tone"),
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    let returns = w.first == -w.second && (1..=2).contains(&w.first.abs());
    if returns && !w.middle_is_chord_tone && w.last_is_chord_tone {
        FULL
    } else {
        0
    }
}
