//! A tritone, a seventh or a ninth, except where an octave is displaced at a register shift.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A tritone, a seventh or a ninth, except where an octave is displaced at a register shift.
pub static AWKWARD_LEAP: Rule = Rule {
    name: "awkward-leap",
    family: Family::Melody,
    sentence: "A tritone, a seventh or a ninth, except where an octave is displaced at a register shift.",
    label: Label::None,
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    let displaced = w.slot.shift && w.size() != 6;
    if matches!(w.size(), 6 | 10 | 11 | 13 | 14) && !displaced {
        FULL
    } else {
        0
    }
}
