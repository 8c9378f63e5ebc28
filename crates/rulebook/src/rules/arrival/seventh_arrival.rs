//! The seventh (or the sixth of a sixth chord) on beat one or where the chord changes; half as strong where the chord is only held.

use linewright_theory::Member;

use super::arrival_of::arrival_of;
use crate::rule::{FULL, Family, Label, Look, Remarks, Rule, Strength};
use crate::window::NoteWindow;

/// The seventh (or the sixth of a sixth chord) on beat one or where the chord changes; half as strong where the chord is only held.
pub static SEVENTH_ARRIVAL: Rule = Rule {
    name: "seventh-arrival",
    family: Family::Arrival,
    sentence: "The seventh (or the sixth of a sixth chord) on beat one or where the chord changes; half as strong where the chord is only held.",
    look: Look::Note(test),
    most: FULL,
    label: Label::None,
    remarks: Remarks::found("the seventh arrives here; at this grade the root does"),
};

fn test(w: &NoteWindow) -> Strength {
    arrival_of(w, |member| member == Member::Seventh)
}

#[cfg(test)]
mod tests {
    use crate::rule::FULL;
    use crate::testing::over;

    #[test]
    fn the_seventh_of_a_seventh_chord_and_the_sixth_of_a_sixth_chord_count() {
        let heard = over("| C7 | F6 | F6 |").line("Bb1 C2 E2 G2 | D2 F2 A2 C3 | D3 C3 A2 F2");
        let found = [(1, 1, FULL), (2, 1, FULL), (3, 1, FULL / 2)];
        assert_eq!(heard.notes("seventh-arrival"), found);
    }

    #[test]
    fn a_major_seventh_over_a_dominant_and_a_sixth_over_a_seventh_chord_do_not() {
        let heard = over("| C7 | F7 |").line("B1 C2 E2 G2 | D2 Eb2 F2 A2");
        assert!(heard.never("seventh-arrival"));
    }
}
