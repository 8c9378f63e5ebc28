//! Where the plan asks for it, the bar outlines its chord in other tones and closes on the chord's own root on the last beat.

use linewright_plan::Cadence;

use super::closing::closes_on_root;
use crate::rule::{Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// Where the plan asks for it, the bar outlines its chord in other tones and closes on the chord's own root on the last beat.
pub static OWN_ROOT_CADENCE: Rule = Rule {
    name: "own-root-cadence",
    family: Family::Cadence,
    sentence: "Where the plan asks for it, the bar outlines its chord in other tones and closes on the chord's own root on the last beat.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    if w.bar.cadence == Some(Cadence::OwnRoot) {
        closes_on_root(w)
    } else {
        0
    }
}
