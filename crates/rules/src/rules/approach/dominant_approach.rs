//! A fifth above or a fourth below, falling into the root on an arrival.

use linewright_theory::Member;

use super::target::target;
use crate::rule::{Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A fifth above or a fourth below, falling into the root on an arrival.
pub static DOMINANT_APPROACH: Rule = Rule {
    name: "dominant-approach",
    family: Family::Approach,
    sentence: "A fifth above or a fourth below, falling into the root on an arrival.",
    label: Label::Before("dominant approach"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if matches!(w.interval, -7 | 5) && w.member() == Member::Root {
        target(w)
    } else {
        0
    }
}
