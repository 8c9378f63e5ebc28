//! A half step, from either side, into a chord tone on an arrival; strongest into the root.

use super::target::target;
use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength};
use crate::window::StepWindow;

/// A half step, from either side, into a chord tone on an arrival; strongest into the root.
pub static HALF_STEP_APPROACH: Rule = Rule {
    name: "half-step-approach",
    family: Family::Approach,
    sentence: "A half step, from either side, into a chord tone on an arrival; strongest into the root.",
    look: Look::Step(test),
    most: FULL,
    label: Label::Before(FunctionName::sided("half-step approach", "½")),
    remarks: Remarks::NONE,
};

fn test(w: &StepWindow) -> Strength {
    if w.size() == 1 { target(w) } else { 0 }
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    /// A line over C7 and F7 with these notes around the bar line.
    fn around(notes: &str) -> Option<i32> {
        let heard = over("| C7 | F7 |").line(&format!("C2 E2 G2 {notes} A2 C3 A2"));
        heard.on("half-step-approach", 2, 1)
    }

    #[test]
    fn it_comes_from_below_or_above_and_is_strongest_into_the_root() {
        assert_eq!(around("E2 | F2"), Some(FULL));
        assert_eq!(around("Gb2 | F2"), Some(FULL));
        assert_eq!(around("Bb2 | A2"), Some(800));
        assert_eq!(around("B2 | C3"), Some(700));
        assert_eq!(around("E2 | Eb2"), Some(700));
    }

    #[test]
    fn a_half_step_into_a_ninth_or_a_whole_step_is_none() {
        assert_eq!(around("F#2 | G2"), None);
        assert_eq!(around("G2 | F2"), None);
    }

    #[test]
    fn a_half_step_between_arrivals_approaches_nothing() {
        let heard = over("| Cmaj7 |").line("C2 B1 C2 E2");
        assert!(heard.never("half-step-approach"));
    }

    #[test]
    fn it_is_the_note_before_the_arrival_that_is_named() {
        let heard = over("| C7 | F7 |").line("C2 E2 G2 Gb2 | F2 A2 C3 A2");
        assert_eq!(heard.functions(1, 4)[0], "half-step approach");
    }
}
