//! A note that is no chord tone, reached by step and left by the same step back to a chord tone.

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// A note that is no chord tone, reached by step and left by the same step back to a chord tone.
pub static NEIGHBOUR_TONE: Rule = Rule {
    name: "neighbour-tone",
    family: Family::Approach,
    sentence: "A note that is no chord tone, reached by step and left by the same step back to a chord tone.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::Before(FunctionName::silent("neighbour tone", "nbr")),
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    let returns = w.first == -w.second && (1..=2).contains(&w.first.abs());
    full_if(returns && !w.middle_is_chord_tone && w.last_is_chord_tone)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_step_away_and_the_same_step_back_goes_round_a_neighbour() {
        for notes in ["C2 D2 C2 G2", "E2 F2 E2 G2", "G2 F#2 G2 C2"] {
            let heard = over("key: F\n| C7 |").line(notes);
            assert_eq!(heard.notes("neighbour-tone"), [(1, 3, FULL)], "{notes}");
            assert!(heard.functions(1, 2).contains(&"neighbour tone"));
        }
    }

    #[test]
    fn a_chord_tone_a_skip_or_a_return_to_another_note_is_none() {
        for notes in [
            "C2 Bb1 C2 G2",
            "C2 A1 C2 G2",
            "G2 A2 Ab2 C2",
            "D2 Eb2 D2 C2",
        ] {
            let heard = over("key: F\n| C7 |").line(notes);
            assert!(heard.never("neighbour-tone"), "{notes}");
        }
    }
}
