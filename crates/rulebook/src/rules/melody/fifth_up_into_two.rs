//! A fifth up into the second note of a bar.

use super::into::into;
use crate::plan::BeatOfBar;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::IntervalWindow;

/// A fifth up into the second note of a bar.
pub static FIFTH_UP_INTO_TWO: Rule = Rule {
    name: "fifth-up-into-two",
    family: Family::Melody,
    sentence: "A fifth up into the second note of a bar.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    into(w, BeatOfBar::Second, &[7])
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn only_up_and_only_into_the_second_note() {
        let heard = over("| C7 | C7 |").line("C2 G2 C2 G2 | G2 C2 G2 E2");
        assert_eq!(heard.notes("fifth-up-into-two"), [(1, 2, FULL)]);
    }
}
