//! A bar of four notes with one of them twice: a third of the bars that players play.

use super::different::different_notes;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::OrderWindow;

/// A bar of four notes with one of them twice.
pub static THREE_NOTE_BAR: Rule = Rule {
    name: "three-note-bar",
    family: Family::Order,
    sentence: "A bar of four notes with one of them twice.",
    look: Look::Order(test),
    most: FULL,
    label: Label::Bar("one note twice"),
    remarks: Remarks::NONE,
};

fn test(w: &OrderWindow) -> Strength {
    full_if(different_notes(w) == Some(3))
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn one_note_stands_twice_octaves_included() {
        for (notes, strength) in [
            ("C2 E2 G2 E2", Some(FULL)),
            ("C2 E2 G2 C3", Some(FULL)),
            ("C2 G2 C2 G2", None),
            ("C2 E2 G2 A2", None),
        ] {
            let heard = over("| C7 |").line(notes);
            assert_eq!(heard.at_bar("three-note-bar", 1), strength, "{notes}");
        }
    }
}
