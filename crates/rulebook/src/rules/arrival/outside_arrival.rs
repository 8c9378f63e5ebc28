//! A scale tone or a chromatic note on beat one or where the chord changes; half as strong where the chord is only held.

use linewright_theory::Member;

use super::arrival_of::arrival_of;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// A scale tone or a chromatic note on beat one or where the chord changes; half as strong where the chord is only held.
pub static OUTSIDE_ARRIVAL: Rule = Rule {
    name: "outside-arrival",
    family: Family::Arrival,
    sentence: "A scale tone or a chromatic note on beat one or where the chord changes; half as strong where the chord is only held.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("this arrival is no tone of its chord, so the chord is not heard"),
};

fn test(w: &NoteWindow) -> Strength {
    arrival_of(w, |member| member >= Member::Scale)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_chromatic_note_and_a_plain_scale_tone_arrive_outside() {
        let heard = over("key: F\n| C7 | C7 |").line("F#2 G2 E2 C2 | F2 E2 D2 C2");
        assert_eq!(
            heard.notes("outside-arrival"),
            [(1, 1, FULL), (2, 1, FULL / 2)]
        );
    }

    #[test]
    fn a_ninth_is_not_outside_nor_is_a_chromatic_note_between_arrivals() {
        let heard = over("key: F\n| C7 |").line("D2 Eb2 E2 F#2");
        assert!(heard.never("outside-arrival"));
    }
}
