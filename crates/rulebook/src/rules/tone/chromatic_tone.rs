//! The note lies outside the chord's scale.

use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The note lies outside the chord's scale.
pub static CHROMATIC_TONE: Rule = Rule {
    name: "chromatic-tone",
    family: Family::Tone,
    sentence: "The note lies outside the chord's scale.",
    look: Look::Note(test),
    most: FULL,
    label: Label::This(FunctionName::silent("chromatic tone", "chr")),
    remarks: Remarks::found("a note outside the scale, which comes at a later grade"),
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.member() == Member::Outside)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn notes_outside_the_chords_scale_are_chromatic() {
        let heard = over("key: F\n| C7 |").line("C2 Eb2 F2 F#2");
        assert_eq!(heard.notes("chromatic-tone"), [(1, 2, FULL), (1, 4, FULL)]);
    }

    #[test]
    fn the_key_chooses_the_scale() {
        let e_flat_over_a_seven = "A1 Eb2 Bb2 F2";
        assert_eq!(
            over("key: G\n| A7 |")
                .line(e_flat_over_a_seven)
                .notes("chromatic-tone"),
            [(1, 2, FULL), (1, 3, FULL), (1, 4, FULL)]
        );
        assert_eq!(
            over("key: Dm\n| A7 |")
                .line(e_flat_over_a_seven)
                .notes("chromatic-tone"),
            [(1, 2, FULL)]
        );
    }
}
