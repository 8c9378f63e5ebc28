//! The root held by repeating it while it is the root of both chords.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// The root held by repeating it while it is the root of both chords.
pub static PEDAL: Rule = Rule {
    name: "pedal",
    family: Family::Melody,
    sentence: "The root held by repeating it while it is the root of both chords.",
    label: Label::This("pedal"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    let root = w.member() == Member::Root && w.from.ground.line_root == w.slot.ground.line_root;
    if w.interval == 0 && root { FULL } else { 0 }
}
