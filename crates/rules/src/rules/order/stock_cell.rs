//! The bar is a stock cell, such as 1-2-3-5 or 1-3-5-7.

use super::cells::is_stock;
use crate::rule::{FULL, Family, Label, Look, Rule, Strength};
use crate::window::BarWindow;

/// The bar is a stock cell, such as 1-2-3-5 or 1-3-5-7.
pub static STOCK_CELL: Rule = Rule {
    name: "stock-cell",
    family: Family::Order,
    sentence: "The bar is a stock cell, such as 1-2-3-5 or 1-3-5-7.",
    label: Label::None,
    look: Look::Bar(test),
};

fn test(w: &BarWindow) -> Strength {
    if w.cell_of_four().is_some_and(is_stock) {
        FULL
    } else {
        0
    }
}
