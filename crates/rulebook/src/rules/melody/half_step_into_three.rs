//! A half step into the middle of a bar.

use super::into::into;
use crate::plan::BeatOfBar;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::IntervalWindow;

/// A half step into the middle of a bar.
pub static HALF_STEP_INTO_THREE: Rule = Rule {
    name: "half-step-into-three",
    family: Family::Melody,
    sentence: "A half step into the middle of a bar.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    into(w, BeatOfBar::Middle, &[-1, 1])
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_half_step_to_that_beat_only() {
        let heard = over("| C7 | C7 |").line("C2 C#2 D2 D#2 | E2 F2 E2 F2");
        assert_eq!(
            heard.notes("half-step-into-three"),
            [(1, 3, FULL), (2, 3, FULL)]
        );
    }
}
