//! A chromatic note that does not move on by a half step, nor belongs to the chord to come.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A chromatic note that does not move on by a half step, nor belongs to the chord to come.
pub static UNRESOLVED_CHROMATIC: Rule = Rule {
    name: "unresolved-chromatic",
    family: Family::Approach,
    sentence: "A chromatic note that does not move on by a half step, nor belongs to the chord to come.",
    label: Label::None,
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if w.from_member() == Member::Outside && w.size() != 1 && !w.anticipates() {
        FULL
    } else {
        0
    }
}
