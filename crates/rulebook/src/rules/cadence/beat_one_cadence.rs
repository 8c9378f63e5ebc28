//! Where the plan asks for it, the root on beat one, approached by half step, step or dominant; stronger after an ambiguous bar.

use crate::plan::Cadence;
use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength};
use crate::window::StepWindow;

/// Where the plan asks for it, the root on beat one, approached by half step, step or dominant; stronger after an ambiguous bar.
pub static BEAT_ONE_CADENCE: Rule = Rule {
    name: "beat-one-cadence",
    family: Family::Cadence,
    sentence: "Where the plan asks for it, the root on beat one, approached by half step, step or dominant; stronger after an ambiguous bar.",
    look: Look::Step(test),
    most: FULL * 5 / 4,
    label: Label::This(FunctionName::silent("cadence on beat one", "cad1")),
    remarks: Remarks::missing(
        "the phrase should land here: the root on beat one, approached by half step, step or from the fifth",
    ),
};

fn test(w: &StepWindow) -> Strength {
    let planned = w.place.cadence == Some(Cadence::BeatOne);
    let approached = matches!(w.size(), 1 | 2) || matches!(w.interval, -7 | 5);
    if !(planned && approached && w.member() == Member::Root) {
        return 0;
    }
    if w.place.after_ambiguous {
        FULL * 5 / 4
    } else {
        FULL
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::{Cadence, Clarity};

    use crate::rule::FULL;
    use crate::testing::over;

    /// F7 after C7 with these notes around the bar line, the cadence planned.
    fn around(notes: &str) -> Option<i32> {
        let passage = over("| C7 | F7 |").cadence(2, Cadence::BeatOne);
        let heard = passage.line(&format!("C2 E2 G2 {notes} A2 C3 A2"));
        heard.on("beat-one-cadence", 2, 1)
    }

    #[test]
    fn the_root_is_approached_by_half_step_step_or_dominant() {
        for notes in [
            "E2 | F2", "Gb2 | F2", "G2 | F2", "Eb2 | F2", "C3 | F2", "C2 | F2",
        ] {
            assert_eq!(around(notes), Some(FULL), "{notes}");
        }
    }

    #[test]
    fn a_skip_into_the_root_or_a_step_into_another_tone_is_none() {
        for notes in ["A2 | F2", "D2 | F2", "Bb2 | F2", "F2 | F2", "G2 | A2"] {
            assert_eq!(around(notes), None, "{notes}");
        }
    }

    #[test]
    fn it_is_stronger_after_a_bar_that_was_meant_to_be_ambiguous() {
        let passage = over("| C7 | F7 |")
            .cadence(2, Cadence::BeatOne)
            .clarity(1, Clarity::Ambiguous);
        let heard = passage.line("Bb1 D2 A2 E2 | F2 A2 C3 A2");
        assert_eq!(heard.notes("beat-one-cadence"), [(2, 1, FULL * 5 / 4)]);
    }

    #[test]
    fn without_a_plan_it_is_no_cadence() {
        let heard = over("| C7 | F7 |").line("C2 E2 G2 E2 | F2 A2 C3 A2");
        assert!(heard.never("beat-one-cadence"));
    }
}
