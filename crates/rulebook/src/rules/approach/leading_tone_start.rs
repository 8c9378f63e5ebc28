//! Beat one on the seventh, a half step under the root that follows on beat two.

use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::StepWindow;

/// Beat one on the seventh, a half step under the root that follows on beat two.
pub static LEADING_TONE_START: Rule = Rule {
    name: "leading-tone-start",
    family: Family::Approach,
    sentence: "Beat one on the seventh, a half step under the root that follows on beat two.",
    look: Look::Step(test),
    most: FULL,
    label: Label::Before(FunctionName::silent("leading-tone start", "LT")),
    remarks: Remarks::NONE,
};

fn test(w: &StepWindow) -> Strength {
    let starts = w.place.to_second && !w.place.chord_starts;
    full_if(starts && w.interval == 1 && w.member() == Member::Root)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_bar_begins_a_half_step_under_the_root_that_follows() {
        let heard = over("| Cmaj7 | F7 |").line("B1 C2 E2 G2 | E2 F2 A2 C3");
        assert_eq!(
            heard.notes("leading-tone-start"),
            [(1, 2, FULL), (2, 2, FULL)]
        );
        assert_eq!(heard.functions(1, 1)[0], "leading-tone start");
    }

    #[test]
    fn from_above_or_later_in_the_bar_or_into_another_tone_it_is_none() {
        for notes in ["Db2 C2 E2 G2", "B2 C2 E2 G2", "E2 G2 B1 C2", "F#2 G2 E2 C2"] {
            let heard = over("| Cmaj7 |").line(notes);
            assert!(heard.never("leading-tone-start"), "{notes}");
        }
    }

    #[test]
    fn it_starts_a_bar_over_one_chord() {
        let heard = over("| B7 C / / |").line("B1 C2 E2 G2");
        assert!(heard.never("leading-tone-start"));
    }
}
