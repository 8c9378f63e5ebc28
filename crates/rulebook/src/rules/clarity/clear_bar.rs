//! A bar that is meant to be clear and names its chord; stronger the surer.

use crate::plan::Clarity;

use crate::clarity::CLEAR;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::BarWindow;

/// A bar that is meant to be clear and names its chord; stronger the surer.
pub static CLEAR_BAR: Rule = Rule {
    name: "clear-bar",
    family: Family::Clarity,
    sentence: "A bar that is meant to be clear and names its chord; stronger the surer.",
    look: Look::Bar(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &BarWindow) -> Strength {
    if w.bar.clarity == Clarity::Clear && w.cell.place.begins_bar {
        (w.facts.clarity * FULL / CLEAR).clamp(0, FULL)
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::Clarity;

    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_bar_meant_to_be_clear_is_full_with_the_root_on_one() {
        let passage = over("| C7 | F7 |").clarity(1, Clarity::Clear);
        let heard = passage.line("C2 E2 G2 Bb2 | F2 A2 C3 Eb3");
        assert_eq!(heard.bars("clear-bar"), [(1, FULL)]);
    }

    #[test]
    fn it_is_weaker_the_less_the_notes_name_the_chord() {
        let passage = over("| C7 |").clarity(1, Clarity::Clear);
        let less = passage.line("E2 G2 D2 C2").at_bar("clear-bar", 1);
        assert!(matches!(less, Some(1..FULL)), "{less:?}");
        assert!(passage.line("Bb1 D2 F2 A2").never("clear-bar"));
    }
}
