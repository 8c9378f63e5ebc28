//! The note is a sixth, a ninth or another extension of the chord.

use linewright_theory::Member;

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::NoteWindow;

/// The note is a sixth, a ninth or another extension of the chord.
pub static COLOUR_TONE: Rule = Rule {
    name: "colour-tone",
    family: Family::Tone,
    sentence: "The note is a sixth, a ninth or another extension of the chord.",
    look: Look::Note(test),
    most: FULL,
    label: Label::This(FunctionName::silent("colour tone", "col")),
    remarks: Remarks::found("a colour tone, which comes at a later grade"),
};

fn test(w: &NoteWindow) -> Strength {
    full_if(w.member() == Member::Colour)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_ninth_and_the_thirteenth_are_colours_of_a_dominant() {
        let heard = over("key: F\n| C7 |").line("C2 D2 F2 A2");
        assert_eq!(heard.notes("colour-tone"), [(1, 2, FULL), (1, 4, FULL)]);
    }

    #[test]
    fn a_written_extension_is_a_colour() {
        let heard = over("| C7b9 |").line("C2 Db2 E2 G2");
        assert_eq!(heard.notes("colour-tone"), [(1, 2, FULL)]);
    }
}
