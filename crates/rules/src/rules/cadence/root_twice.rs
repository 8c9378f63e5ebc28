//! An early root played again on the arrival it announced.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::StepWindow;

/// An early root played again on the arrival it announced.
pub static ROOT_TWICE: Rule = Rule {
    name: "root-twice",
    family: Family::Cadence,
    sentence: "An early root played again on the arrival it announced.",
    label: Label::None,
    look: Look::Step(test),
};

fn test(w: &StepWindow) -> Strength {
    let again = w.slot.chord_starts && w.interval == 0 && w.member() == Member::Root;
    if again { FULL } else { 0 }
}
