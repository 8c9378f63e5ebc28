//! An early root played again on the arrival it announced.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::StepWindow;

/// An early root played again on the arrival it announced.
pub static ROOT_TWICE: Rule = Rule {
    name: "root-twice",
    family: Family::Cadence,
    sentence: "An early root played again on the arrival it announced.",
    look: Look::Step(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("the root was there early already; another tone would be fresh"),
};

fn test(w: &StepWindow) -> Strength {
    let early = w.place.chord_starts && w.from.line_root != w.ground.line_root;
    let again = w.interval == 0 && w.member() == Member::Root;
    full_if(early && again)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn an_early_root_is_played_again_on_the_arrival() {
        let heard = over("| C7 | F7 |").line("C2 E2 G2 F2 | F2 A2 C3 A2");
        assert_eq!(heard.notes("root-twice"), [(2, 1, FULL)]);
    }

    #[test]
    fn an_octave_away_or_on_another_tone_it_is_not_the_same() {
        for notes in ["F2 | F3", "C3 | C3"] {
            let heard = over("| C7 | F7 |").line(&format!("C2 E2 G2 {notes} Eb3 C3 A2"));
            assert!(heard.never("root-twice"), "{notes}");
        }
    }

    #[test]
    fn a_root_that_was_the_root_already_is_not_early() {
        let heard = over("| Cmaj7 | Cm7 |").line("E2 G2 B2 C3 | C3 G2 Eb2 C2");
        assert!(heard.never("root-twice"));
    }
}
