//! A fifth above or a fourth below, falling into the root on an arrival.

use linewright_theory::Member;

use super::target::target;
use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength};
use crate::window::StepWindow;

/// A fifth above or a fourth below, falling into the root on an arrival.
pub static DOMINANT_APPROACH: Rule = Rule {
    name: "dominant-approach",
    family: Family::Approach,
    sentence: "A fifth above or a fourth below, falling into the root on an arrival.",
    look: Look::Step(test),
    most: FULL,
    label: Label::Before(FunctionName::sided("dominant approach", "dom")),
    remarks: Remarks::NONE,
};

fn test(w: &StepWindow) -> Strength {
    if matches!(w.interval, -7 | 5) && w.member() == Member::Root {
        target(w)
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    /// A line over C7 and F7 with these notes around the bar line.
    fn around(notes: &str) -> Option<i32> {
        let heard = over("| C7 | F7 |").line(&format!("C2 E2 G2 {notes} A2 C3 A2"));
        heard.on("dominant-approach", 2, 1)
    }

    #[test]
    fn it_falls_a_fifth_or_rises_a_fourth_into_the_root() {
        assert_eq!(around("C3 | F2"), Some(FULL));
        assert_eq!(around("C2 | F2"), Some(FULL));
    }

    #[test]
    fn the_fourth_above_and_the_fifth_below_are_no_dominant() {
        assert_eq!(around("Bb2 | F2"), None);
        assert_eq!(around("Bb1 | F2"), None);
    }

    #[test]
    fn it_goes_to_the_root_only() {
        assert_eq!(around("E3 | A2"), None);
    }
}
