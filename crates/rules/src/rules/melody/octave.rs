//! The same note an octave away.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// The same note an octave away.
pub static OCTAVE: Rule = Rule {
    name: "octave",
    family: Family::Melody,
    sentence: "The same note an octave away.",
    label: Label::This("octave"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if w.size() == 12 { FULL } else { 0 }
}
