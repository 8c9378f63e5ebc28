//! A leap beyond the style's limit.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A leap beyond the style's limit.
pub static TOO_WIDE_LEAP: Rule = Rule {
    name: "too-wide-leap",
    family: Family::Melody,
    sentence: "A leap beyond the style's limit.",
    label: Label::None,
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    let limit = if w.slot.shift {
        w.style.largest_shift
    } else {
        w.style.largest_leap
    };
    if w.size() > i32::from(limit) { FULL } else { 0 }
}
