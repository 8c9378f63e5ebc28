//! A leap beyond a fifth at a tempo where the hand has no time for it; heavier the faster.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// A leap beyond a fifth at a tempo where the hand has no time for it; heavier the faster.
pub static FAST_LEAP: Rule = Rule {
    name: "fast-leap",
    family: Family::Melody,
    sentence: "A leap beyond a fifth at a tempo where the hand has no time for it; heavier the faster.",
    label: Label::None,
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    let over = (i32::from(w.slot.tempo) - 180).clamp(0, 160);
    if w.size() > 7 && w.from.beats == 1 {
        over * FULL / 160
    } else {
        0
    }
}
