//! The bar has the notes of a stock cell in another order.

use super::cells::is_reordered;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::OrderWindow;

/// The bar has the notes of a stock cell in another order.
pub static REORDERED_CELL: Rule = Rule {
    name: "reordered-cell",
    family: Family::Order,
    sentence: "The bar has the notes of a stock cell in another order.",
    look: Look::Order(test),
    most: FULL,
    label: Label::Bar("the notes of {cell} in another order"),
    remarks: Remarks::NONE,
};

fn test(w: &OrderWindow) -> Strength {
    full_if(w.cell_of_four().is_some_and(is_reordered))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_notes_of_a_stock_cell_come_in_another_order() {
        let heard = over("| C7 | C7 |").line("A2 C2 E2 G2 | E2 G2 D2 C2");
        assert_eq!(heard.bars("reordered-cell"), [(1, FULL), (2, FULL)]);
    }

    #[test]
    fn the_stock_cell_itself_and_other_notes_are_none() {
        assert!(over("| C7 |").line("C2 E2 G2 A2").never("reordered-cell"));
        assert!(over("| C7 |").line("D2 F2 A2 Bb2").never("reordered-cell"));
    }
}
