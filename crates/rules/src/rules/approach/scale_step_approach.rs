//! A whole step, from either side, into a chord tone on an arrival; strongest into the root.

use super::target::target;
use crate::rule::{Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A whole step, from either side, into a chord tone on an arrival; strongest into the root.
pub static SCALE_STEP_APPROACH: Rule = Rule {
    name: "scale-step-approach",
    family: Family::Approach,
    sentence: "A whole step, from either side, into a chord tone on an arrival; strongest into the root.",
    label: Label::Before("scale-step approach"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if w.size() == 2 { target(w) } else { 0 }
}
