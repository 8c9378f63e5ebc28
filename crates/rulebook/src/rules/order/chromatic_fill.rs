//! The bar fills in by half steps: 1-2-b3-3, 1-3-4-#4 or 1-b7-6-b6.

use super::cells::is_fill;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::OrderWindow;

/// The bar fills in by half steps: 1-2-b3-3, 1-3-4-#4 or 1-b7-6-b6.
pub static CHROMATIC_FILL: Rule = Rule {
    name: "chromatic-fill",
    family: Family::Order,
    sentence: "The bar fills in by half steps: 1-2-b3-3, 1-3-4-#4 or 1-b7-6-b6.",
    look: Look::Order(test),
    most: FULL,
    label: Label::Bar("fills in by half steps"),
    remarks: Remarks::NONE,
};

fn test(w: &OrderWindow) -> Strength {
    full_if(w.cell_of_four().is_some_and(is_fill))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_three_fills_are_found() {
        for notes in ["C2 D2 Eb2 E2", "C2 E2 F2 F#2", "C3 Bb2 A2 Ab2"] {
            let heard = over("key: F\n| C7 |").line(notes);
            assert_eq!(heard.bars("chromatic-fill"), [(1, FULL)], "{notes}");
        }
    }

    #[test]
    fn scale_steps_do_not_fill_in() {
        for notes in ["C2 D2 E2 F2", "C2 E2 F2 G2", "C3 Bb2 A2 G2"] {
            assert!(
                over("key: F\n| C7 |").line(notes).never("chromatic-fill"),
                "{notes}"
            );
        }
    }
}
