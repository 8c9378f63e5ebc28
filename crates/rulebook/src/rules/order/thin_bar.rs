//! A bar of four notes with no more than two different ones.

use super::different::different_notes;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::OrderWindow;

/// A bar of four notes with no more than two different ones.
pub static THIN_BAR: Rule = Rule {
    name: "thin-bar",
    family: Family::Order,
    sentence: "A bar of four notes with no more than two different ones.",
    look: Look::Order(test),
    most: FULL,
    label: Label::Bar("few different notes"),
    remarks: Remarks::found("this bar has only two different notes"),
};

fn test(w: &OrderWindow) -> Strength {
    full_if(different_notes(w).is_some_and(|notes| notes <= 2))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn two_different_notes_are_thin_and_octaves_count_once() {
        for (notes, strength) in [
            ("C2 G2 C2 G2", Some(FULL)),
            ("C2 G2 C3 G2", Some(FULL)),
            ("C2 E2 G2 E2", None),
            ("C2 E2 G2 A2", None),
        ] {
            assert_eq!(
                over("| C7 |").line(notes).at_bar("thin-bar", 1),
                strength,
                "{notes}"
            );
        }
    }

    #[test]
    fn root_and_third_of_two_chords_are_four_notes() {
        assert!(over("| Dm7 G7 |").line("D2 F2 G2 B2").never("thin-bar"));
        let thin = over("| Dm7 G7 |").line("D2 D3 G2 G1");
        assert_eq!(thin.bars("thin-bar"), [(1, FULL)]);
    }

    #[test]
    fn a_bar_of_three_is_never_thin() {
        assert!(over("time: 3/4\n| C7 |").line("C2 G2 C2").never("thin-bar"));
    }

    #[test]
    fn every_chord_of_a_crowded_bar_has_its_own_notes() {
        assert!(over("| Dm7 G7 / / |").line("D2 G2 B2 F2").never("thin-bar"));
        assert!(
            over("| Dm7 G7 Em7 A7 |")
                .line("D2 G2 E2 A2")
                .never("thin-bar")
        );
    }
}
