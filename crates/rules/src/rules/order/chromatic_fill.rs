//! The bar fills in by half steps: 1-2-b3-3, 1-3-4-#4 or 1-b7-6-b6.

use super::cells::is_fill;
use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// The bar fills in by half steps: 1-2-b3-3, 1-3-4-#4 or 1-b7-6-b6.
pub static CHROMATIC_FILL: Rule = Rule {
    name: "chromatic-fill",
    family: Family::Order,
    sentence: "The bar fills in by half steps: 1-2-b3-3, 1-3-4-#4 or 1-b7-6-b6.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    if w.cell_of_four().is_some_and(is_fill) {
        FULL
    } else {
        0
    }
}
