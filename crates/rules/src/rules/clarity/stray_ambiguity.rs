//! A bar that could be another chord's where the plan does not mean it; heavier the less sure.

use linewright_plan::Clarity;

use crate::clarity::{AMBIGUOUS, CLEAR};
use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// A bar that could be another chord's where the plan does not mean it; heavier the less sure.
pub static STRAY_AMBIGUITY: Rule = Rule {
    name: "stray-ambiguity",
    family: Family::Clarity,
    sentence: "A bar that could be another chord's where the plan does not mean it; heavier the less sure.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    if w.bar.clarity == Clarity::Ambiguous || !w.begins_bar() || w.slots.len() < 3 {
        0
    } else {
        ((AMBIGUOUS - w.facts.clarity) * FULL / CLEAR).clamp(0, FULL)
    }
}
