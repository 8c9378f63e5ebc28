//! A move by a tritone.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A move by a tritone.
pub static TRITONE: Rule = Rule {
    name: "tritone",
    family: Family::Melody,
    sentence: "A move by a tritone.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("a tritone leads here, which is hard to hear and to play"),
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(w.size() == 6)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn either_way() {
        let heard = over("| C7 |").line("E2 Bb2 E2 G2");
        assert_eq!(heard.notes("tritone"), [(1, 2, FULL), (1, 3, FULL)]);
    }
}
