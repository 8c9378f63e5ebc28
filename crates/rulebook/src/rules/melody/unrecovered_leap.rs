//! A leap beyond a fifth that is not recovered by a move of a fifth at most the other way, and is no register shift.

use super::recovery::recovers;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// A leap beyond a fifth that is not recovered by a move of a fifth at most the other way, and is no register shift.
pub static UNRECOVERED_LEAP: Rule = Rule {
    name: "unrecovered-leap",
    family: Family::Melody,
    sentence: "A leap beyond a fifth that is not recovered by a move of a fifth at most the other way, and is no register shift.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("after the wide leap before it, the line should turn back"),
};

fn test(w: &ShapeWindow) -> Strength {
    full_if(w.first.abs() > 7 && !w.place.middle_shift && !recovers(w))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn going_on_standing_still_or_leaping_back_leaves_a_sixth_open() {
        for notes in ["C2 A2 Bb2 G2", "C2 A2 A2 G2", "C2 A2 C2 D2"] {
            let heard = over("| C7 |").line(notes);
            assert_eq!(heard.notes("unrecovered-leap"), [(1, 3, FULL)], "{notes}");
        }
    }

    #[test]
    fn a_move_back_of_a_fifth_at_most_recovers_it_and_a_fifth_needs_nothing() {
        for notes in ["C2 C3 G2 E2", "C2 A2 F2 E2", "C2 G2 A2 Bb2"] {
            assert!(
                over("| C7 |").line(notes).never("unrecovered-leap"),
                "{notes}"
            );
        }
    }

    #[test]
    fn after_a_register_shift_the_line_stays_where_it_is() {
        let passage = over("| C7 | F7 |").shift(2, 1, "D3");
        let heard = passage.line("C2 D2 E2 F2 | Eb3 F3 Eb3 C3");
        assert!(heard.never("unrecovered-leap"));
    }
}
