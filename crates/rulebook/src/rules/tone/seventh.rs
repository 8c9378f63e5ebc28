//! The note is the chord's seventh, or the sixth of a sixth chord.

use linewright_theory::Member;

use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The note is the chord's seventh, or the sixth of a sixth chord.
pub static SEVENTH: Rule = Rule {
    name: "seventh",
    family: Family::Tone,
    sentence: "The note is the chord's seventh, or the sixth of a sixth chord.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("a seventh; this grade is about roots and fifths"),
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.member() == Member::Seventh)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn it_is_the_seventh_that_the_chord_has() {
        let heard =
            over("| Cmaj7 | C7 | Cdim7 |").line("C2 B2 Bb2 A2 | C2 B2 Bb2 A2 | C2 B2 Bb2 A2");
        assert_eq!(
            heard.notes("seventh"),
            [(1, 2, FULL), (2, 3, FULL), (3, 4, FULL)]
        );
    }

    #[test]
    fn a_sixth_chord_has_its_sixth_for_a_seventh() {
        let heard = over("| C6 |").line("C2 A2 G2 Bb2");
        assert_eq!(heard.notes("seventh"), [(1, 2, FULL)]);
    }
}
