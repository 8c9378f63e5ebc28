//! A bar that is meant to be clear and names its chord; stronger the surer.

use linewright_plan::Clarity;

use crate::clarity::CLEAR;
use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// A bar that is meant to be clear and names its chord; stronger the surer.
pub static CLEAR_BAR: Rule = Rule {
    name: "clear-bar",
    family: Family::Clarity,
    sentence: "A bar that is meant to be clear and names its chord; stronger the surer.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    if w.bar.clarity == Clarity::Clear && w.begins_bar() {
        (w.facts.clarity * FULL / CLEAR).clamp(0, FULL)
    } else {
        0
    }
}
