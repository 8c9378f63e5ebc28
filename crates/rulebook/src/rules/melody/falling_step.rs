//! A step down.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A step down.
pub static FALLING_STEP: Rule = Rule {
    name: "falling-step",
    family: Family::Melody,
    sentence: "A step down.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(matches!(w.interval, -1 | -2))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn half_and_whole_steps_down() {
        let heard = over("| C7 |").line("C2 D2 C#2 B1");
        assert_eq!(heard.notes("falling-step"), [(1, 3, FULL), (1, 4, FULL)]);
    }
}
