//! A seventh or a ninth, except where an octave is displaced at a register shift.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// A seventh or a ninth, except where an octave is displaced at a register shift.
pub static AWKWARD_LEAP: Rule = Rule {
    name: "awkward-leap",
    family: Family::Melody,
    sentence: "A seventh or a ninth, except where an octave is displaced at a register shift.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("a seventh or ninth leads here, which is hard to hear and to play"),
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(matches!(w.size(), 10 | 11 | 13 | 14) && !w.place.shift)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn sevenths_and_ninths_are_awkward_and_other_leaps_are_not() {
        for to in ["Bb2", "B2", "C#3", "D3", "D1"] {
            let heard = over("| C7 |").line(&format!("C2 {to} {to} {to}"));
            assert_eq!(heard.notes("awkward-leap"), [(1, 2, FULL)], "{to}");
        }
        for to in ["F2", "F#2", "G2", "Ab2", "A2", "C3", "Eb3", "E3"] {
            let heard = over("| C7 |").line(&format!("C2 {to} {to} {to}"));
            assert!(heard.never("awkward-leap"), "{to}");
        }
    }

    #[test]
    fn at_a_register_shift_a_displaced_step_is_free() {
        let passage = over("| C7 | F7 |").shift(2, 1, "D3");
        assert!(
            passage
                .line("C2 D2 E2 G2 | F3 C3 A2 F2")
                .never("awkward-leap")
        );
    }
}
