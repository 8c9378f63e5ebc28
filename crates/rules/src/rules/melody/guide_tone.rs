//! Where roots fall a fifth, the seventh steps down to the third.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// Where roots fall a fifth, the seventh steps down to the third.
pub static GUIDE_TONE: Rule = Rule {
    name: "guide-tone",
    family: Family::Melody,
    sentence: "Where roots fall a fifth, the seventh steps down to the third.",
    label: Label::This("guide tone"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    let fifth = w.slot.chord_starts && w.slot.ground.root == w.from.ground.root.up(5);
    let tones = w.from_member() == Member::Seventh && w.member() == Member::Third;
    if fifth && tones && matches!(w.interval, -1 | -2) {
        FULL
    } else {
        0
    }
}
