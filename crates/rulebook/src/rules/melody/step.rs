//! A move by a half step or a whole step.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A move by a half step or a whole step.
pub static STEP: Rule = Rule {
    name: "step",
    family: Family::Melody,
    sentence: "A move by a half step or a whole step.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(matches!(w.size(), 1 | 2))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn half_and_whole_steps_up_and_down_are_steps() {
        let heard = over("| C7 | C7 |").line("C2 D2 Eb2 C2 | C2 Bb1 A1 G#1");
        let found = [
            (1, 2, FULL),
            (1, 3, FULL),
            (2, 2, FULL),
            (2, 3, FULL),
            (2, 4, FULL),
        ];
        assert_eq!(heard.notes("step"), found);
    }
}
