//! Two half steps the same way into a chord tone on an arrival.

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// Two half steps the same way into a chord tone on an arrival.
pub static DOUBLE_CHROMATIC_APPROACH: Rule = Rule {
    name: "double-chromatic-approach",
    family: Family::Approach,
    sentence: "Two half steps the same way into a chord tone on an arrival.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::BothBefore(FunctionName::sided("double chromatic approach", "½½")),
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    full_if(w.place.arrival && w.last_is_chord_tone && w.first == w.second && w.first.abs() == 1)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn two_half_steps_the_same_way_lead_into_the_arrival() {
        for notes in ["D#2 E2 | F2", "G2 Gb2 | F2", "B2 Bb2 | A2"] {
            let heard = over("| C7 | F7 |").line(&format!("C2 E2 {notes} C3 F2 C3"));
            assert_eq!(
                heard.notes("double-chromatic-approach"),
                [(2, 1, FULL)],
                "{notes}"
            );
        }
    }

    #[test]
    fn both_notes_before_are_named() {
        let heard = over("| C7 | F7 |").line("C2 E2 D#2 E2 | F2 C3 F2 C3");
        for beat in [3, 4] {
            assert!(
                heard
                    .functions(1, beat)
                    .contains(&"double chromatic approach")
            );
        }
    }

    #[test]
    fn it_needs_two_half_steps_one_way_and_a_chord_tone_on_an_arrival() {
        for notes in ["D2 E2 | F2", "F2 E2 | F2", "F2 F#2 | G2"] {
            let heard = over("| C7 | F7 |").line(&format!("C2 C2 {notes} C3 F2 C3"));
            assert!(heard.never("double-chromatic-approach"), "{notes}");
        }
        let inside = over("| C7 |").line("C2 D2 Eb2 E2");
        assert!(inside.never("double-chromatic-approach"));
    }
}
