//! Two leaps the same way that cover more than an octave between them.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// Two leaps the same way that cover more than an octave between them.
pub static LEAPS_ONE_WAY: Rule = Rule {
    name: "leaps-one-way",
    family: Family::Melody,
    sentence: "Two leaps the same way that cover more than an octave between them.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("two leaps the same way cover more than an octave"),
};

fn test(w: &ShapeWindow) -> Strength {
    let leaps = w.first.abs() > 4 && w.second.abs() > 4;
    full_if(w.same_way() && leaps && (w.first + w.second).abs() > 12)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn two_leaps_one_way_beyond_an_octave_run_off() {
        let heard = over("| C7 | C7 |").line("C2 G2 D3 E2 | A2 E2 A1 C2");
        assert_eq!(heard.notes("leaps-one-way"), [(1, 3, FULL)]);
    }

    #[test]
    fn within_an_octave_with_a_third_or_turning_back_they_do_not() {
        for notes in ["C2 F2 C3 G2", "C2 E2 Db3 C3", "C2 A2 Db3 C3", "C2 G2 C2 G2"] {
            assert!(over("| C7 |").line(notes).never("leaps-one-way"), "{notes}");
        }
    }

    #[test]
    fn a_fourth_and_a_sixth_run_off_in_either_order() {
        for notes in ["E2 A2 F3 E3", "E2 C3 F3 E3"] {
            let heard = over("| C7 |").line(notes);
            assert_eq!(heard.notes("leaps-one-way"), [(1, 3, FULL)], "{notes}");
        }
    }
}
