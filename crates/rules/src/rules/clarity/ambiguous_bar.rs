//! A bar that is meant to be ambiguous: its notes fit the chord, and fit another as well.

use linewright_plan::Clarity;
use linewright_theory::Member;

use crate::clarity::{AMBIGUOUS, CLEAR};
use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// A bar that is meant to be ambiguous: its notes fit the chord, and fit another as well.
pub static AMBIGUOUS_BAR: Rule = Rule {
    name: "ambiguous-bar",
    family: Family::Clarity,
    sentence: "A bar that is meant to be ambiguous: its notes fit the chord, and fit another as well.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    let meant = w.bar.clarity == Clarity::Ambiguous && w.begins_bar();
    let fits = !w.members[..w.members.len().min(3)].contains(&Member::Outside);
    if meant && fits {
        ((CLEAR - w.facts.clarity) * FULL / (CLEAR - AMBIGUOUS)).clamp(0, FULL)
    } else {
        0
    }
}
