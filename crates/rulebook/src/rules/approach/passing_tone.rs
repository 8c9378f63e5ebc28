//! A note that is no chord tone, passed through by step in one direction.

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// A note that is no chord tone, passed through by step in one direction.
pub static PASSING_TONE: Rule = Rule {
    name: "passing-tone",
    family: Family::Approach,
    sentence: "A note that is no chord tone, passed through by step in one direction.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::Before(FunctionName::going("passing tone", "pas")),
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    let by_step = w.same_way() && w.first.abs() <= 2 && w.second.abs() <= 2;
    full_if(by_step && !w.middle_is_chord_tone)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_scale_tone_or_a_chromatic_note_passes_between_two_notes() {
        let heard = over("key: F\n| C7 |").line("C2 D2 E2 G2");
        assert_eq!(heard.notes("passing-tone"), [(1, 3, FULL)]);
        assert!(heard.functions(1, 2).contains(&"passing tone"));
        let heard = over("key: F\n| C7 |").line("G2 F#2 F2 E2");
        assert_eq!(heard.notes("passing-tone"), [(1, 3, FULL), (1, 4, FULL)]);
    }

    #[test]
    fn a_chord_tone_does_not_pass_nor_does_a_note_that_turns_or_is_left_by_skip() {
        for notes in ["Bb1 C2 D2 G2", "C2 D2 C2 G2", "C2 D2 F2 G#2", "B1 D2 E2 G2"] {
            assert!(
                over("key: F\n| C7 |").line(notes).never("passing-tone"),
                "{notes}"
            );
        }
    }
}
