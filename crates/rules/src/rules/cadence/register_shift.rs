//! A leap of a sixth or more right after a cadence, where the plan moves the register.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A leap of a sixth or more right after a cadence, where the plan moves the register.
pub static REGISTER_SHIFT: Rule = Rule {
    name: "register-shift",
    family: Family::Cadence,
    sentence: "A leap of a sixth or more right after a cadence, where the plan moves the register.",
    label: Label::This("register shift"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if w.slot.shift && w.size() >= 8 {
        FULL
    } else {
        0
    }
}
