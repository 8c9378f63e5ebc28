//! The bar is a stock cell, such as 1-2-3-5 or 1-3-5-7.

use super::cells::is_stock;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::OrderWindow;

/// The bar is a stock cell, such as 1-2-3-5 or 1-3-5-7.
pub static STOCK_CELL: Rule = Rule {
    name: "stock-cell",
    family: Family::Order,
    sentence: "The bar is a stock cell, such as 1-2-3-5 or 1-3-5-7.",
    look: Look::Order(test),
    most: FULL,
    label: Label::Bar("stock cell {cell}"),
    remarks: Remarks::NONE,
};

fn test(w: &OrderWindow) -> Strength {
    full_if(w.cell_of_four().is_some_and(is_stock))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_stock_cell_counts_by_the_chords_own_degrees() {
        let heard = over("key: C\n| C7 | Fm7 |").line("C2 D2 E2 G2 | F2 Ab2 C3 Eb3");
        assert_eq!(heard.bars("stock-cell"), [(1, FULL), (2, FULL)]);
    }

    #[test]
    fn another_order_two_chords_or_three_beats_make_none() {
        assert!(over("| C7 |").line("C2 E2 D2 G2").never("stock-cell"));
        assert!(over("| C7 F7 |").line("C2 E2 C3 Eb3").never("stock-cell"));
        assert!(
            over("time: 3/4\n| C7 |")
                .line("C2 E2 G2")
                .never("stock-cell")
        );
    }
}
