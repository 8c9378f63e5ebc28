//! Beat one on the seventh, a half step under the root that follows on beat two.

use linewright_plan::Beat;
use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// Beat one on the seventh, a half step under the root that follows on beat two.
pub static LEADING_TONE_START: Rule = Rule {
    name: "leading-tone-start",
    family: Family::Approach,
    sentence: "Beat one on the seventh, a half step under the root that follows on beat two.",
    label: Label::Before("leading-tone start"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    let starts = w.from.strength == Beat::Down && w.slot.position == 1 && !w.slot.chord_starts;
    if starts && w.interval == 1 && w.member() == Member::Root {
        FULL
    } else {
        0
    }
}
