//! The note is the chord's root, third, fifth or seventh.

use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The note is the chord's root, third, fifth or seventh.
pub static CHORD_TONE: Rule = Rule {
    name: "chord-tone",
    family: Family::Tone,
    sentence: "The note is the chord's root, third, fifth or seventh.",
    look: Look::Note(test),
    most: FULL,
    label: Label::This(FunctionName::silent("chord tone", "ct")),
    remarks: Remarks::NONE,
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.member() <= Member::Seventh)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn root_third_fifth_and_seventh_are_chord_tones_and_others_are_not() {
        let heard = over("| C7 | C7 |").line("C2 E2 G2 Bb2 | D2 F2 F#2 A2");
        let found = [(1, 1, FULL), (1, 2, FULL), (1, 3, FULL), (1, 4, FULL)];
        assert_eq!(heard.notes("chord-tone"), found);
    }

    #[test]
    fn a_note_belongs_to_the_chord_that_sounds_under_it() {
        let heard = over("| Dm7 G7 |").line("B1 D2 B1 A2");
        assert_eq!(heard.notes("chord-tone"), [(1, 2, FULL), (1, 3, FULL)]);
    }
}
