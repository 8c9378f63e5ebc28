//! The line opens on the root.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The line opens on the root.
pub static OPENING_ROOT: Rule = Rule {
    name: "opening-root",
    family: Family::Arrival,
    sentence: "The line opens on the root.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    let opens = w.bar.phrase == 0 && w.bar.place == 0 && w.slot.position == 0;
    full_if(opens && w.member() == Member::Root)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn only_the_first_note_of_the_line_opens_it() {
        let heard = over("| C7 | F7 |").line("C2 E2 G2 Bb2 | F2 A2 C3 F3");
        assert_eq!(heard.notes("opening-root"), [(1, 1, FULL)]);
    }

    #[test]
    fn another_tone_does_not() {
        assert!(over("| C7 |").line("E2 C2 G2 Bb2").never("opening-root"));
    }
}
