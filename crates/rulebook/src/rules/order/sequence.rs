//! The bar begins with the degrees of the bar before, over another root.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::EchoWindow;

/// The bar begins with the degrees of the bar before, over another root.
pub static SEQUENCE: Rule = Rule {
    name: "sequence",
    family: Family::Order,
    sentence: "The bar begins with the degrees of the bar before, over another root.",
    look: Look::Echo(test),
    most: FULL,
    label: Label::Bar("sequence of the bar before"),
    remarks: Remarks::NONE,
};

fn test(w: &EchoWindow) -> Strength {
    // Bars of two are alike by their notes, which are other degrees here.
    if w.slot.of == 2 || w.before.ground.root == w.slot.ground.root {
        0
    } else {
        FULL
    }
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::{in_two, over};

    #[test]
    fn the_first_three_degrees_move_with_the_harmony() {
        let heard = over("| C7 | F7 |").line("C2 E2 G2 Bb2 | F2 A2 C3 D3");
        assert_eq!(heard.bars("sequence"), [(2, FULL)]);
    }

    #[test]
    fn a_minor_third_does_not_answer_a_major_one() {
        assert!(
            over("| C7 | Fm7 |")
                .line("C2 E2 G2 Bb2 | F2 Ab2 C3 Eb3")
                .never("sequence")
        );
    }

    #[test]
    fn over_the_same_chord_it_is_the_cell_again() {
        assert!(
            over("| C7 | C7 |")
                .line("C2 E2 G2 Bb2 | C2 E2 G2 A2")
                .never("sequence")
        );
    }

    #[test]
    fn in_two_the_same_notes_over_another_chord_are_other_degrees() {
        assert!(
            in_two("| C7 | F7 |")
                .line("C2 F2 | C2 F2")
                .never("sequence")
        );
    }
}
