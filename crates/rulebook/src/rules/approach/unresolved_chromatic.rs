//! A chromatic note that moves on by no half step, and does not belong to the chord to come. One that is repeated counts where it moves on.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::StepWindow;

/// A chromatic note that moves on by no half step, and does not belong to the chord to come. One that is repeated counts where it moves on.
pub static UNRESOLVED_CHROMATIC: Rule = Rule {
    name: "unresolved-chromatic",
    family: Family::Approach,
    sentence: "A chromatic note that moves on by no half step, and does not belong to the chord to come. One that is repeated counts where it moves on.",
    look: Look::Step(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("the chromatic note before does not move on by a half step"),
};

fn test(w: &StepWindow) -> Strength {
    full_if(w.from_member() == Member::Outside && w.size() > 1 && !w.anticipates())
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_chromatic_note_that_leaps_or_steps_away_hangs_in_the_air() {
        let heard = over("key: F\n| C7 | F7 |").line("C2 Eb2 G2 B2 | F2 A2 C3 F2");
        let found = [(1, 3, FULL), (2, 1, FULL)];
        assert_eq!(heard.notes("unresolved-chromatic"), found);
    }

    #[test]
    fn a_half_step_either_way_resolves_it() {
        let heard = over("key: F\n| C7 |").line("D2 Eb2 E2 Eb2");
        assert!(heard.never("unresolved-chromatic"));
    }

    #[test]
    fn a_note_of_the_chord_to_come_is_free() {
        let heard = over("key: F\n| C7 | F7 |").line("C2 E2 G2 Eb2 | A2 F2 C2 F2");
        assert!(heard.never("unresolved-chromatic"));
    }
}
