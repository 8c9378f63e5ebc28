//! A move by a half step or a whole step.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A move by a half step or a whole step.
pub static STEP: Rule = Rule {
    name: "step",
    family: Family::Melody,
    sentence: "A move by a half step or a whole step.",
    label: Label::None,
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if matches!(w.size(), 1 | 2) { FULL } else { 0 }
}
