//! A bar that could be another chord's where the plan does not mean it; heavier the less sure.

use crate::plan::Clarity;

use crate::clarity::{AMBIGUOUS, CLEAR};
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::BarWindow;

/// A bar that could be another chord's where the plan does not mean it; heavier the less sure.
pub static STRAY_AMBIGUITY: Rule = Rule {
    name: "stray-ambiguity",
    family: Family::Clarity,
    sentence: "A bar that could be another chord's where the plan does not mean it; heavier the less sure.",
    look: Look::Bar(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &BarWindow) -> Strength {
    if w.bar.clarity == Clarity::Ambiguous || !w.cell.place.begins_bar || w.cell.members.len() < 3 {
        0
    } else {
        ((AMBIGUOUS - w.facts.clarity) * FULL / CLEAR).clamp(0, FULL)
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::Clarity;

    use crate::rule::FULL;
    use crate::testing::{in_two, over};

    #[test]
    fn a_bar_that_spells_another_chord_strays() {
        let heard = over("| C7 | C7 |").line("Bb1 D2 F2 A2 | C3 G2 E2 C2");
        let found = heard.bars("stray-ambiguity");
        assert!(matches!(found[..], [(1, 1..=FULL)]), "{found:?}");
    }

    #[test]
    fn it_is_heavier_the_less_sure_the_bar() {
        let strength = |notes| over("| C7 |").line(notes).at_bar("stray-ambiguity", 1);
        assert!(strength("Bb1 D2 F2 A2") > strength("C2 G2 A2 G2"));
        assert!(strength("C2 G2 A2 G2") > strength("C2 E2 G2 A2"));
    }

    #[test]
    fn where_the_plan_means_it_or_there_are_but_two_notes_it_is_none() {
        let meant = over("| C7 |").clarity(1, Clarity::Ambiguous);
        assert!(meant.line("Bb1 D2 F2 A2").never("stray-ambiguity"));
        assert!(in_two("| C7 |").line("Bb1 D2").never("stray-ambiguity"));
    }

    #[test]
    fn a_waltz_bar_can_stray() {
        assert!(
            !over("time: 3/4\n| C7 |")
                .line("Bb1 D2 F2")
                .never("stray-ambiguity")
        );
    }
}
