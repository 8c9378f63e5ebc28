//! The bar begins with the degrees of the bar before, over another chord.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::EchoWindow;

/// The bar begins with the degrees of the bar before, over another chord.
pub static SEQUENCE: Rule = Rule {
    name: "sequence",
    family: Family::Order,
    sentence: "The bar begins with the degrees of the bar before, over another chord.",
    label: Label::None,
    look: Look::Echo(test),
};

fn test(w: &EchoWindow) -> Strength {
    if w.before.ground.chord == w.slot.ground.chord {
        0
    } else {
        FULL
    }
}
