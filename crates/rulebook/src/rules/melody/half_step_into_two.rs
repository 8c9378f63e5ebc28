//! A half step into the second note of a bar.

use super::into::into;
use crate::plan::BeatOfBar;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::IntervalWindow;

/// A half step into the second note of a bar.
pub static HALF_STEP_INTO_TWO: Rule = Rule {
    name: "half-step-into-two",
    family: Family::Melody,
    sentence: "A half step into the second note of a bar.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    into(w, BeatOfBar::Second, &[-1, 1])
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_half_step_to_that_beat_only() {
        let heard = over("| C7 | C7 |").line("C2 C#2 D2 D#2 | E2 F2 E2 F2");
        assert_eq!(
            heard.notes("half-step-into-two"),
            [(1, 2, FULL), (2, 2, FULL)]
        );
    }
}
