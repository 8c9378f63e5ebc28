//! A move by a third.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A move by a third.
pub static SKIP: Rule = Rule {
    name: "skip",
    family: Family::Melody,
    sentence: "A move by a third.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(matches!(w.size(), 3 | 4))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn thirds_are_skips_and_steps_and_fourths_are_not() {
        let heard = over("| C7 | C7 |").line("C2 E2 G2 F2 | Bb2 G2 E2 C2");
        let found = [
            (1, 2, FULL),
            (1, 3, FULL),
            (2, 2, FULL),
            (2, 3, FULL),
            (2, 4, FULL),
        ];
        assert_eq!(heard.notes("skip"), found);
    }
}
