//! A move by a half step.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A move by a half step.
pub static HALF_STEP: Rule = Rule {
    name: "half-step",
    family: Family::Melody,
    sentence: "A move by a half step.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(w.size() == 1)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn half_steps_up_and_down() {
        let heard = over("| C7 |").line("C2 C#2 C2 D2");
        assert_eq!(heard.notes("half-step"), [(1, 2, FULL), (1, 3, FULL)]);
    }
}
