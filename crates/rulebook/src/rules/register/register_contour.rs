//! Semitones by which the note strays more than a fourth from the register that the plan keeps to.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// Semitones by which the note strays more than a fourth from the register that the plan keeps to.
pub static REGISTER_CONTOUR: Rule = Rule {
    name: "register-contour",
    family: Family::Register,
    sentence: "Semitones by which the note strays more than a fourth from the register that the plan keeps to.",
    look: Look::Note(test),
    most: 122 * FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    let away = (i32::from(w.pitch.midi()) - i32::from(w.slot.centre.midi())).abs();
    (away - 5).max(0) * FULL
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn every_semitone_beyond_a_fourth_from_the_planned_centre_counts() {
        // The centre is D2.
        let heard = over("| C7 | C7 |").line("D2 G2 Ab2 A2 | A1 Ab1 G1 C2");
        let found = [
            (1, 3, FULL),
            (1, 4, 2 * FULL),
            (2, 2, FULL),
            (2, 3, 2 * FULL),
        ];
        assert_eq!(heard.notes("register-contour"), found);
    }

    #[test]
    fn the_centre_moves_where_the_plan_moves_it() {
        let passage = over("| C7 | F7 |").shift(2, 1, "D3");
        let heard = passage.line("D2 E2 E2 F2 | Eb3 C3 A2 Ab2");
        assert_eq!(heard.notes("register-contour"), [(2, 4, FULL)]);
    }
}
