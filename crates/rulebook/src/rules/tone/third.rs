//! The note is the chord's third, or the tone that a suspended chord has for it.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The note is the chord's third, or the tone that a suspended chord has for it.
pub static THIRD: Rule = Rule {
    name: "third",
    family: Family::Tone,
    sentence: "The note is the chord's third, or the tone that a suspended chord has for it.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("a third; this grade is about roots and fifths"),
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.member() == Member::Third)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn it_is_the_third_that_the_chord_has() {
        let heard = over("| C7 | Cm7 |").line("C2 E2 Eb2 G2 | C2 E2 Eb2 G2");
        assert_eq!(heard.notes("third"), [(1, 2, FULL), (2, 3, FULL)]);
    }

    #[test]
    fn a_suspended_chord_has_its_fourth_for_a_third() {
        let heard = over("| C7sus4 |").line("C2 F2 D2 G2");
        assert_eq!(heard.notes("third"), [(1, 2, FULL)]);
    }
}
