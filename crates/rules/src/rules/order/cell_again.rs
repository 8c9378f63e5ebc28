//! The bar begins with the degrees of the bar before, over the same chord.

use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::EchoWindow;

/// The bar begins with the degrees of the bar before, over the same chord.
pub static CELL_AGAIN: Rule = Rule {
    name: "cell-again",
    family: Family::Order,
    sentence: "The bar begins with the degrees of the bar before, over the same chord.",
    label: Label::None,
    look: Look::Echo(test),
};

fn test(w: &EchoWindow) -> Strength {
    if w.before.ground.chord == w.slot.ground.chord {
        FULL
    } else {
        0
    }
}
