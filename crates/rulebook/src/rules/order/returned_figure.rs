//! Where the plan has a figure return, the bar plays it; nearly full with its first three degrees.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::OrderWindow;

/// Where the plan has a figure return, the bar plays it; nearly full with its first three degrees.
pub static RETURNED_FIGURE: Rule = Rule {
    name: "returned-figure",
    family: Family::Order,
    sentence: "Where the plan has a figure return, the bar plays it; nearly full with its first three degrees.",
    look: Look::Order(test),
    most: FULL,
    label: Label::Bar("a figure that returns"),
    remarks: Remarks::NONE,
};

fn test(w: &OrderWindow) -> Strength {
    match (w.place.figure, w.cell_of_four()) {
        (Some(figure), Some(cell)) if cell == figure => FULL,
        (Some(figure), Some(cell)) if cell[..3] == figure[..3] => FULL * 4 / 5,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn four_degrees_are_full_three_nearly_and_without_a_wish_there_is_none() {
        let passage = over("| C7 | C7 | C7 |")
            .figure(1, [1, 2, 3, 5])
            .figure(3, [1, 2, 3, 5]);
        let heard = passage.line("C2 D2 E2 G2 | C2 D2 E2 G2 | C2 D2 E2 C2");
        assert_eq!(
            heard.bars("returned-figure"),
            [(1, FULL), (3, FULL * 4 / 5)]
        );
    }
}
