//! A chromatic note that moves on by a half step.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A chromatic note that moves on by a half step.
pub static CHROMATIC_PASSING_TONE: Rule = Rule {
    name: "chromatic-passing-tone",
    family: Family::Approach,
    sentence: "A chromatic note that moves on by a half step.",
    label: Label::Before("chromatic passing tone"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if w.from_member() == Member::Outside && w.size() == 1 {
        FULL
    } else {
        0
    }
}
