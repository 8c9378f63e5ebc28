//! A bar that closes on its own root where no such cadence is planned: a line that cadences everywhere cadences nowhere.

use linewright_plan::Cadence;

use super::closing::closes_on_root;
use crate::rule::{Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// A bar that closes on its own root where no such cadence is planned: a line that cadences everywhere cadences nowhere.
pub static UNPLANNED_CADENCE: Rule = Rule {
    name: "unplanned-cadence",
    family: Family::Cadence,
    sentence: "A bar that closes on its own root where no such cadence is planned: a line that cadences everywhere cadences nowhere.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    if w.bar.cadence == Some(Cadence::OwnRoot) {
        0
    } else {
        closes_on_root(w)
    }
}
