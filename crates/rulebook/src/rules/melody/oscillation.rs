//! Away and straight back to the same note; half as heavy by step as by skip or leap.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::ShapeWindow;

/// Away and straight back to the same note; half as heavy by step as by skip or leap.
pub static OSCILLATION: Rule = Rule {
    name: "oscillation",
    family: Family::Melody,
    sentence: "Away and straight back to the same note; half as heavy by step as by skip or leap.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("the line goes away and straight back to the same note"),
};

fn test(w: &ShapeWindow) -> Strength {
    if w.first == 0 || w.first != -w.second {
        0
    } else if w.first.abs() <= 2 {
        FULL / 2
    } else {
        FULL
    }
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn there_and_back_is_half_as_heavy_by_step_as_by_skip_or_leap() {
        let heard = over("| C7 | C7 |").line("C2 D2 C2 G2 | E2 G2 C3 C2");
        assert_eq!(heard.notes("oscillation"), [(1, 3, FULL / 2), (2, 2, FULL)]);
    }

    #[test]
    fn standing_still_or_coming_back_to_another_note_is_none() {
        assert!(over("| C7 |").line("C2 C2 C2 E2").never("oscillation"));
        assert!(over("| C7 |").line("C2 D2 B1 C3").never("oscillation"));
    }
}
