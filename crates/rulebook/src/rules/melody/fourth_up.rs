//! A fourth up.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A fourth up.
pub static FOURTH_UP: Rule = Rule {
    name: "fourth-up",
    family: Family::Melody,
    sentence: "A fourth up.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(w.interval == 5)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn up_and_not_down() {
        let heard = over("| C7 |").line("G1 C2 G1 E1");
        assert_eq!(heard.notes("fourth-up"), [(1, 2, FULL)]);
    }
}
