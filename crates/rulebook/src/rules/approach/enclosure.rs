//! One note from each side, then the chord tone between them on an arrival.

use crate::rule::{FULL, Family, FunctionName, Label, Look, Remarks, Rule, Strength, full_if};
use crate::window::ShapeWindow;

/// One note from each side, then the chord tone between them on an arrival.
pub static ENCLOSURE: Rule = Rule {
    name: "enclosure",
    family: Family::Approach,
    sentence: "One note from each side, then the chord tone between them on an arrival.",
    look: Look::Shape(test),
    most: FULL,
    label: Label::BothBefore(FunctionName::silent("enclosure", "enc")),
    remarks: Remarks::NONE,
};

fn test(w: &ShapeWindow) -> Strength {
    let around = w.turns()
        && (1..=2).contains(&w.second.abs())
        && (1..=2).contains(&(w.first + w.second).abs())
        && w.first.abs() > w.second.abs();
    full_if(w.place.arrival && w.last_is_chord_tone && around)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn one_note_from_each_side_encloses_the_arrival() {
        for notes in ["G2 E2 | F2", "E2 G2 | F2", "Gb2 E2 | F2", "Bb2 G2 | A2"] {
            let heard = over("| C7 | F7 |").line(&format!("C2 C3 {notes} C3 F2 C3"));
            assert_eq!(heard.notes("enclosure"), [(2, 1, FULL)], "{notes}");
        }
    }

    #[test]
    fn a_note_too_far_off_or_both_from_one_side_or_a_plain_neighbour_is_none() {
        for notes in ["Ab2 E2 | F2", "E2 Ab2 | F2", "D2 E2 | F2", "F2 E2 | F2"] {
            let heard = over("| C7 | F7 |").line(&format!("C2 C3 {notes} C3 F2 C3"));
            assert!(heard.never("enclosure"), "{notes}");
        }
    }

    #[test]
    fn what_is_enclosed_is_a_chord_tone() {
        let heard = over("| C7 | F7 |").line("C2 C3 A2 F#2 | G2 C3 F2 C3");
        assert!(heard.never("enclosure"));
    }
}
