//! A move by a third.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A move by a third.
pub static SKIP: Rule = Rule {
    name: "skip",
    family: Family::Melody,
    sentence: "A move by a third.",
    label: Label::None,
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if matches!(w.size(), 3 | 4) { FULL } else { 0 }
}
