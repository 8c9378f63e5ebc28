//! Two moves the same way, neither wider than a third: the line goes somewhere.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// Two moves the same way, neither wider than a third: the line goes somewhere.
pub static DIRECTION: Rule = Rule {
    name: "direction",
    family: Family::Melody,
    sentence: "Two moves the same way, neither wider than a third: the line goes somewhere.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    full_if(w.same_way() && w.first.abs() <= 4 && w.second.abs() <= 4)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn steps_and_thirds_the_same_way_go_somewhere() {
        let heard = over("| C7 | C7 |").line("C2 E2 G2 Bb2 | A2 G2 E2 E2");
        let found = [(1, 3, FULL), (1, 4, FULL), (2, 2, FULL), (2, 3, FULL)];
        assert_eq!(heard.notes("direction"), found);
    }

    #[test]
    fn a_turn_a_leap_or_a_repeat_does_not() {
        for notes in ["C2 E2 D2 F2", "C2 F2 G2 C3", "C2 C2 D2 D2"] {
            assert!(over("| C7 |").line(notes).never("direction"), "{notes}");
        }
    }

    #[test]
    fn major_thirds_are_not_too_wide() {
        let heard = over("| C7 |").line("C2 E2 G#2 D3");
        assert_eq!(heard.notes("direction"), [(1, 3, FULL)]);
    }
}
