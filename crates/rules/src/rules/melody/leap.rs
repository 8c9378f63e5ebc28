//! A move wider than a third, heavier the wider it is: a fourth counts half, a fifth most of one, a sixth a full one. A leap at a register shift is free.

use crate::rule::{Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A move wider than a third, heavier the wider it is: a fourth counts half, a fifth most of one, a sixth a full one. A leap at a register shift is free.
pub static LEAP: Rule = Rule {
    name: "leap",
    family: Family::Melody,
    sentence: "A move wider than a third, heavier the wider it is: a fourth counts half, a fifth most of one, a sixth a full one. A leap at a register shift is free.",
    label: Label::None,
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    if w.slot.shift {
        return 0;
    }
    match w.size() {
        0..=4 => 0,
        5 => 500,
        6 | 7 => 700,
        8 | 9 => 1000,
        12 => 900,
        _ => 1300,
    }
}
