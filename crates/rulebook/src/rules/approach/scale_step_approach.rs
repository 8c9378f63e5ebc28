//! A whole step, from either side, into a chord tone on an arrival; strongest into the root.

use super::target::target;
use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength};
use crate::window::StepWindow;

/// A whole step, from either side, into a chord tone on an arrival; strongest into the root.
pub static SCALE_STEP_APPROACH: Rule = Rule {
    name: "scale-step-approach",
    family: Family::Approach,
    sentence: "A whole step, from either side, into a chord tone on an arrival; strongest into the root.",
    look: Look::Step(test),
    most: FULL,
    label: Label::Before(FunctionName::sided("scale-step approach", "st")),
    remarks: Remarks::NONE,
};

fn test(w: &StepWindow) -> Strength {
    if w.size() == 2 { target(w) } else { 0 }
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    /// A line over C7 and F7 with these notes around the bar line.
    fn around(notes: &str) -> Option<i32> {
        let heard = over("| C7 | F7 |").line(&format!("C2 E2 G2 {notes} A2 C3 A2"));
        heard.on("scale-step-approach", 2, 1)
    }

    #[test]
    fn it_comes_from_below_or_above_and_is_strongest_into_the_root() {
        assert_eq!(around("G2 | F2"), Some(FULL));
        assert_eq!(around("Eb2 | F2"), Some(FULL));
        assert_eq!(around("B2 | A2"), Some(800));
        assert_eq!(around("D3 | C3"), Some(700));
    }

    #[test]
    fn a_whole_step_into_a_ninth_or_a_half_step_is_none() {
        assert_eq!(around("A2 | G2"), None);
        assert_eq!(around("E2 | F2"), None);
    }

    #[test]
    fn a_chord_change_inside_the_bar_is_approached_too() {
        let heard = over("| Dm7 G7 |").line("D2 A2 G2 B2");
        assert_eq!(heard.notes("scale-step-approach"), [(1, 3, FULL)]);
    }
}
