//! The first note of a bar again on the second.

use super::into::into;
use crate::plan::BeatOfBar;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::IntervalWindow;

/// The first note of a bar again on the second.
pub static REPEAT_INTO_TWO: Rule = Rule {
    name: "repeat-into-two",
    family: Family::Melody,
    sentence: "The first note of a bar again on the second.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    into(w, BeatOfBar::Second, &[0])
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn only_on_the_second_note() {
        let heard = over("| C7 | C7 |").line("C2 C2 E2 E2 | E2 G2 G2 E2");
        assert_eq!(heard.notes("repeat-into-two"), [(1, 2, FULL)]);
    }
}
