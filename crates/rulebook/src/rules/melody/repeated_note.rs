//! The same note again.

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::IntervalWindow;

/// The same note again.
pub static REPEATED_NOTE: Rule = Rule {
    name: "repeated-note",
    family: Family::Melody,
    sentence: "The same note again.",
    look: Look::Interval(test),
    most: FULL,
    label: Label::This(FunctionName::silent("repeated note", "rep")),
    remarks: Remarks::NONE,
};

fn test(w: &IntervalWindow) -> Strength {
    full_if(w.interval == 0)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_same_note_again_also_over_the_bar_line_but_not_an_octave_away() {
        let heard = over("| C7 | F7 |").line("C2 C2 E2 A2 | A2 F2 C2 C3");
        assert_eq!(heard.notes("repeated-note"), [(1, 2, FULL), (2, 1, FULL)]);
    }
}
