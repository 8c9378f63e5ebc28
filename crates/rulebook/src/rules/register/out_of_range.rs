//! A note that the style's range does not hold.

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// A note that the style's range does not hold.
pub static OUT_OF_RANGE: Rule = Rule {
    name: "out-of-range",
    family: Family::Register,
    sentence: "A note that the style's range does not hold.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("this note lies outside the range"),
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.pitch < w.style.range.low || w.pitch > w.style.range.high)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_open_e_string_and_high_g_are_in_and_their_outer_neighbours_out() {
        let heard = over("| C7 | C7 |").line("E1 Eb1 E1 G1 | G3 Ab3 C4 G3");
        let found = [(1, 2, FULL), (2, 2, FULL), (2, 3, FULL)];
        assert_eq!(heard.notes("out-of-range"), found);
    }
}
