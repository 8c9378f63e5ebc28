//! A chromatic note that moves on by a half step.

use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::StepWindow;

/// A chromatic note that moves on by a half step.
pub static CHROMATIC_PASSING_TONE: Rule = Rule {
    name: "chromatic-passing-tone",
    family: Family::Approach,
    sentence: "A chromatic note that moves on by a half step.",
    look: Look::Step(test),
    most: FULL,
    label: Label::Before(FunctionName::going("chromatic passing tone", "cp")),
    remarks: Remarks::NONE,
};

fn test(w: &StepWindow) -> Strength {
    full_if(w.from_member() == Member::Outside && w.size() == 1)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_chromatic_note_moves_on_by_a_half_step_either_way() {
        let heard = over("key: F\n| C7 | C7 |").line("C2 D2 Eb2 E2 | G2 F#2 G2 C2");
        let found = [(1, 4, FULL), (2, 3, FULL)];
        assert_eq!(heard.notes("chromatic-passing-tone"), found);
    }

    #[test]
    fn left_by_more_than_a_half_step_or_from_the_scale_it_is_none() {
        let heard = over("key: F\n| C7 | C7 |").line("C2 D2 Eb2 G2 | G2 F2 E2 C2");
        assert!(heard.never("chromatic-passing-tone"));
    }
}
