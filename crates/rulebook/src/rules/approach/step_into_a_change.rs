//! A step into the first note of a new chord, whatever that note is.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::StepWindow;

/// A step into the first note of a new chord, whatever that note is.
pub static STEP_INTO_A_CHANGE: Rule = Rule {
    name: "step-into-a-change",
    family: Family::Approach,
    sentence: "A step into the first note of a new chord, whatever that note is.",
    look: Look::Step(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &StepWindow) -> Strength {
    full_if(w.place.chord_starts && matches!(w.size(), 1 | 2))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn only_where_the_chord_changes() {
        let heard = over("| C7 | F7 |").line("C2 D2 E2 G2 | A2 G2 F2 E2");
        assert_eq!(heard.notes("step-into-a-change"), [(2, 1, FULL)]);
    }
}
