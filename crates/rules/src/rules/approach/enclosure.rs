//! One note from each side, then the chord tone between them on an arrival.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::ShapeWindow;

/// One note from each side, then the chord tone between them on an arrival.
pub static ENCLOSURE: Rule = Rule {
    name: "enclosure",
    family: Family::Approach,
    sentence: "One note from each side, then the chord tone between them on an arrival.",
    label: Label::BothBefore("enclosure"),
    look: Look::Shape(test),
};

fn test(w: &ShapeWindow) -> Strength {
    let around = w.turns()
        && (1..=2).contains(&w.second.abs())
        && (1..=2).contains(&(w.first + w.second).abs())
        && w.first.abs() > w.second.abs();
    if w.place.arrival && w.last_is_chord_tone && around {
        FULL
    } else {
        0
    }
}
