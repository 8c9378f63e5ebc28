//! The bar begins with the degrees of the bar before over the same root, or has the very same two notes.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::EchoWindow;

/// The bar begins with the degrees of the bar before over the same root, or has the very same two notes.
pub static CELL_AGAIN: Rule = Rule {
    name: "cell-again",
    family: Family::Order,
    sentence: "The bar begins with the degrees of the bar before over the same root, or has the very same two notes.",
    look: Look::Echo(test),
    most: FULL,
    label: Label::Bar("begins like the bar before"),
    remarks: Remarks::found(
        "this bar begins just like the bar before; another order would keep it moving",
    ),
};

fn test(w: &EchoWindow) -> Strength {
    // Two bars of two that get here have the very same notes.
    full_if(w.slot.of == 2 || w.before.ground.root == w.slot.ground.root)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::{in_two, over};

    #[test]
    fn the_first_three_degrees_come_again_also_an_octave_away() {
        for notes in ["C2 E2 G2 A2", "C3 E3 G2 Bb2"] {
            let heard = over("| C7 | C7 |").line(&format!("C2 E2 G2 Bb2 | {notes}"));
            assert_eq!(heard.bars("cell-again"), [(2, FULL)], "{notes}");
        }
    }

    #[test]
    fn another_order_another_chord_or_a_bar_between_is_none() {
        assert!(
            over("| C7 | C7 |")
                .line("C2 E2 G2 Bb2 | C2 G2 E2 Bb2")
                .never("cell-again")
        );
        assert!(
            over("| C7 | F7 |")
                .line("C2 E2 G2 Bb2 | F2 A2 C3 Eb3")
                .never("cell-again")
        );
        assert!(
            over("| C7 | N.C. | C7 |")
                .line("C2 E2 G2 Bb2 | | C2 E2 G2 Bb2")
                .never("cell-again")
        );
    }

    #[test]
    fn in_two_the_very_same_two_notes_are_meant() {
        let passage = in_two("| C7 | C7 |");
        assert_eq!(
            passage.line("C2 G2 | C2 G2").bars("cell-again"),
            [(2, FULL)]
        );
        assert!(passage.line("C2 G2 | C3 G2").never("cell-again"));
        let over_another_root = in_two("| C7 | F7 |").line("C2 F2 | C2 F2");
        assert_eq!(over_another_root.bars("cell-again"), [(2, FULL)]);
    }
}
