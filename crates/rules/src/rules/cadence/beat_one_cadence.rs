//! Where the plan asks for it, the root on beat one, approached by half step, step or dominant; stronger after an ambiguous bar.

use linewright_plan::{Beat, Cadence, Clarity};
use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// Where the plan asks for it, the root on beat one, approached by half step, step or dominant; stronger after an ambiguous bar.
pub static BEAT_ONE_CADENCE: Rule = Rule {
    name: "beat-one-cadence",
    family: Family::Cadence,
    sentence: "Where the plan asks for it, the root on beat one, approached by half step, step or dominant; stronger after an ambiguous bar.",
    label: Label::This("cadence on beat one"),
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    let planned = w.bar.cadence == Some(Cadence::BeatOne) && w.slot.strength == Beat::Down;
    let approached = matches!(w.size(), 1 | 2) || matches!(w.interval, -7 | 5);
    if !(planned && approached && w.member() == Member::Root) {
        return 0;
    }
    let unclear_before = w
        .bar_before
        .is_some_and(|bar| bar.clarity == Clarity::Ambiguous);
    if unclear_before { FULL * 5 / 4 } else { FULL }
}
