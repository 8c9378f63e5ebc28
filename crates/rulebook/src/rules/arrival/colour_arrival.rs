//! A ninth, eleventh or thirteenth on beat one or where the chord changes; half as strong where the chord is only held.

use linewright_theory::Member;

use super::arrival_of::arrival_of;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// A ninth, eleventh or thirteenth on beat one or where the chord changes; half as strong where the chord is only held.
pub static COLOUR_ARRIVAL: Rule = Rule {
    name: "colour-arrival",
    family: Family::Arrival,
    sentence: "A ninth, eleventh or thirteenth on beat one or where the chord changes; half as strong where the chord is only held.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("a colour tone arrives here, which comes at a later grade"),
};

fn test(w: &NoteWindow) -> Strength {
    arrival_of(w, |member| member == Member::Colour)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn a_ninth_or_a_sixth_on_one_is_full_on_a_new_chord_and_half_on_a_held_one() {
        let heard = over("| C7 | C7 |").line("D2 E2 G2 Bb2 | A2 G2 E2 C2");
        assert_eq!(
            heard.notes("colour-arrival"),
            [(1, 1, FULL), (2, 1, FULL / 2)]
        );
    }

    #[test]
    fn the_fourth_rubs_on_a_major_third_and_is_no_colour() {
        assert!(over("| C7 |").line("F2 E2 G2 Bb2").never("colour-arrival"));
    }
}
