//! A half step, from either side, into a chord tone on an arrival; strongest into the root.

use super::target::target;
use crate::rule::{Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A half step, from either side, into a chord tone on an arrival; strongest into the root.
pub static HALF_STEP_APPROACH: Rule = Rule {
    name: "half-step-approach",
    family: Family::Approach,
    sentence: "A half step, from either side, into a chord tone on an arrival; strongest into the root.",
    label: Label::Before("half-step approach"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if w.size() == 1 { target(w) } else { 0 }
}
