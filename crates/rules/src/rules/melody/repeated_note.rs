//! The same note again.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// The same note again.
pub static REPEATED_NOTE: Rule = Rule {
    name: "repeated-note",
    family: Family::Melody,
    sentence: "The same note again.",
    label: Label::This("repeated note"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if w.interval == 0 { FULL } else { 0 }
}
