//! A leap beyond a fifth into the line's last note, which nothing can recover.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A leap beyond a fifth into the line's last note, which nothing can recover.
pub static LEAP_INTO_THE_END: Rule = Rule {
    name: "leap-into-the-end",
    family: Family::Melody,
    sentence: "A leap beyond a fifth into the line's last note, which nothing can recover.",
    label: Label::None,
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if w.slot.next.is_none() && w.size() > 7 && !w.slot.shift {
        FULL
    } else {
        0
    }
}
