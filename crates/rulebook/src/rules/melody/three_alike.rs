//! The same note three times in a row.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// The same note three times in a row.
pub static THREE_ALIKE: Rule = Rule {
    name: "three-alike",
    family: Family::Melody,
    sentence: "The same note three times in a row.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("the same note three times in a row stands still"),
};

fn test(w: &ShapeWindow) -> Strength {
    full_if(w.first == 0 && w.second == 0)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_third_of_three_same_notes_is_found_and_the_second_is_not() {
        let heard = over("| C7 | F7 |").line("E2 E2 C2 C2 | C2 F2 F3 F2");
        assert_eq!(heard.notes("three-alike"), [(2, 1, FULL)]);
    }
}
