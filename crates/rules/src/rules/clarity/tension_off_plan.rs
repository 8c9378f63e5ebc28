//! How far the bar's tension lies from the tension that the plan wishes.

use crate::rule::{Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// How far the bar's tension lies from the tension that the plan wishes.
pub static TENSION_OFF_PLAN: Rule = Rule {
    name: "tension-off-plan",
    family: Family::Clarity,
    sentence: "How far the bar's tension lies from the tension that the plan wishes.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    if w.begins_bar() {
        (w.facts.tension - i32::from(w.bar.tension)).abs()
    } else {
        0
    }
}
