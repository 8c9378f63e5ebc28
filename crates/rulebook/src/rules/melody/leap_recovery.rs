//! A leap beyond a fifth, then a move back of a fifth at most.

use super::recovery::recovers;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// A leap beyond a fifth, then a move back of a fifth at most.
pub static LEAP_RECOVERY: Rule = Rule {
    name: "leap-recovery",
    family: Family::Melody,
    sentence: "A leap beyond a fifth, then a move back of a fifth at most.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    full_if(w.first.abs() > 7 && recovers(w))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_sixth_is_recovered_by_a_move_back_of_a_fifth_at_most() {
        for notes in [
            "C2 C3 G2 E2",
            "C2 A2 G2 E2",
            "C2 A2 F2 E2",
            "A2 C2 D2 E2",
            "C2 C3 Bb2 G2",
        ] {
            let heard = over("| C7 |").line(notes);
            assert_eq!(heard.notes("leap-recovery"), [(1, 3, FULL)], "{notes}");
        }
    }

    #[test]
    fn a_sixth_back_going_on_and_a_mere_fifth_are_none() {
        for notes in ["C2 A2 C2 C2", "C2 A2 Bb2 C3", "C2 G2 F2 E2", "C2 A2 A2 G2"] {
            assert!(over("| C7 |").line(notes).never("leap-recovery"), "{notes}");
        }
    }
}
