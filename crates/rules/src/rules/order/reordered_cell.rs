//! The bar has the notes of a stock cell in another order.

use super::cells::is_reordered;
use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// The bar has the notes of a stock cell in another order.
pub static REORDERED_CELL: Rule = Rule {
    name: "reordered-cell",
    family: Family::Order,
    sentence: "The bar has the notes of a stock cell in another order.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    if w.cell_of_four().is_some_and(is_reordered) {
        FULL
    } else {
        0
    }
}
